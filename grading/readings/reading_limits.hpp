// How far readings may be off: the user's own figures, or defaults that say that they are defaults.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "grading/measures/reference_table.hpp"

namespace lastwright {

struct Limit {
  double below = 0.0;  // millimetres, both counted positive
  double above = 0.0;
  std::string source;  // printed beside every verdict
};

// Limits by measure, in the order of the measure table. Empty:
// no limit is known, so readings are shown, not judged.
struct ReadingLimits {
  std::vector<std::optional<Limit>> value;
  std::vector<std::optional<Limit>> pair;  // left minus right
};

// What a user asks for: "ball girth 1 mm", "ball girth -1 +2 mm", "* 1.5 mm" (every measure).
struct LimitRequest {
  std::string measure;  // "*": all
  Limit limit;
};
Result<LimitRequest> parse_limit(std::string_view text);

// Defaults from a limits table, then the user's. A pair limit that nobody names is the value's own limit,
// both sides added: two good lasts cannot differ by more. Refuses a measure the style does not have.
Result<ReadingLimits> reading_limits(const std::vector<std::string>& measures,
                                     std::span<const LimitRow> defaults, std::span<const LimitRequest> values,
                                     std::span<const LimitRequest> pairs);

}  // namespace lastwright
