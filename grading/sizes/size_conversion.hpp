// From one scale to another, never by silence: foot and last
// are compared only through allowances that have a name.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "grading/sizes/quantity.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

// What a last is longer than its foot by, or a part of it: "toe 20 mm", "back -5 mm".
struct Allowance {
  std::string name;
  Quantity amount;
  std::string source;  // who says so; empty when the user named none
};

// No foot and its last differ by more, millimetres: common
// practice is 10 to 25 mm of length, some 50 at long toes.
inline constexpr int kMostAllowance = 100;

// Reads "toe 20 mm" or "toe 20 mm; works practice". Refuses an allowance without a name or without a unit,
// and one beyond kMostAllowance.
Result<Allowance> parse_allowance(std::string_view text);

// Refuses two allowances of one name, and a sum beyond kMostAllowance.
Status check_allowances(std::span<const Allowance> allowances);

// The sum, millimetres.
Fraction total(std::span<const Allowance> allowances);

struct ConvertedSize {
  Size from;
  Fraction from_length;              // on its own scale, millimetres
  Fraction wanted_length;            // on the other scale, allowances included
  std::optional<Size> to;            // the nearest size the other scale makes; empty beyond its ends
  Fraction off;                      // length of `to` minus wanted length
  std::optional<Size> as_near = {};  // the smaller one, where half way between two
};

// Converts sizes to the nearest made size of the other scale; half way goes to the larger one. Foot to last
// adds the allowances, last to foot takes them off. Refuses foot against last without an allowance, like
// against like with one, and what check_allowances refuses.
Result<std::vector<ConvertedSize>> convert_sizes(const Scale& from, std::span<const Size> sizes,
                                                 const Scale& to, std::span<const Allowance> allowances);

}  // namespace lastwright
