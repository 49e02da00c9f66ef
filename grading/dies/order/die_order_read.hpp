// A written order read again for those who show it: the numbers of its dies are the order's, never new ones.
#pragma once

#include <string>
#include <string_view>

#include "geometry/result.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

struct ReadOrder {
  DiePlan plan;    // no shapes: they are in the drawings
  DieOrder order;  // `failed` and `unused` as the order says
};

// Refuses an order of another style, of pieces that the style does not have, and one that serves a size and
// width of a piece twice or that is not in the run. `file` is named in Problems.
Result<ReadOrder> read_order_again(std::string_view text, const std::string& file, const StyleSpec& style,
                                   const SizeRun& run);

struct OrderFailed {
  std::string style;
  std::vector<StyleFinding> failed;
};
// Only what the order says failed.
Result<OrderFailed> read_order_failed(std::string_view text, const std::string& file);

}  // namespace lastwright
