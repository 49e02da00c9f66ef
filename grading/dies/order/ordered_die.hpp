// The dies of an earlier order, read from its JSON (die_order_json.hpp), to be owned in the next.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

// What an earlier order says of its dies.
struct OrderedDie {
  std::string number;
  std::string piece;
  std::string file;                             // relative to the order file; one of the two may be empty
  std::string file_mirrored;                    // the other foot's
  bool pair = false;                            // it takes two dies to cut both feet
  std::optional<double> rule_height = {};       // mm
  bool height_assumed = false;                  // the order does not say that somebody stated it
  std::optional<double> making_tolerance = {};  // mm, as stated
  std::optional<int> layers_per_stroke = {};    // as stated
  std::string bevel = {};                       // as name_of(Bevel); empty: not known
  bool bevel_assumed = false;                   // the order does not say that somebody stated it
  std::optional<double> weight = {};            // kg of one
  std::string drawn_as = {};
  std::string stamp = {};
  std::string stamp_mirrored = {};
  bool two_edged = false;
  int quantity = 1;                                              // of each
  std::vector<std::pair<std::string, std::string>> served = {};  // sizes and widths
  // Of a die that was there already: its drawing is in the folder too.
  int carried = 0;             // orders that have named it as there already; 0: one of this order
  bool plain = false;          // a drawing by itself: its texts say what it is
  std::string feet = {};       // kOnlyDrawn, kOnlyMirrored; else both, as far as it cuts both
  std::string restamped = {};  // of a plain one: the number an order had stamped on it
};
inline constexpr const char* kOnlyDrawn = "as drawn";
inline constexpr const char* kOnlyMirrored = "mirrored";
// Those that were there already first, each list in the order of the file; a bad value is a problem with its
// place.
Result<std::vector<OrderedDie>> read_die_order(std::string_view text, const std::string& file);

// The numbers of dies that the order names as there already and has no drawings of: an order of an earlier
// version held none of these.
Result<std::vector<std::string>> dies_elsewhere(std::string_view text, const std::string& file);

}  // namespace lastwright
