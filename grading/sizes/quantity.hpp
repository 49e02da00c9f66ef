// Lengths as the trade writes them, kept exact: "1/3 in", "2/3 cm", "1/4 in", "5 mm", "5".
#pragma once

#include <string>
#include <string_view>

#include "grading/sizes/fraction.hpp"

namespace lastwright {

struct Quantity {
  Fraction millimetres;  // exact: 1 in = 127/5 mm
  std::string written;   // as the user wrote it, for reports
  bool has_unit = true;  // false: a bare number, taken as millimetres
};

// A number without a unit is millimetres. Units: mm, cm, in (also the double-prime sign). Decimal commas are
// refused with a hint.
Result<Quantity> parse_quantity(std::string_view text);

// The same, made by the program: written as "6.35 mm", or "1/3 in" where that is the plainer.
Quantity millimetres(Fraction value);

// Inches to the nearest 1/denominator, in lowest terms: 8 17/32.
std::string to_inches(double millimetres, int denominator);
std::string to_inches(Fraction millimetres, int denominator);  // half a part goes away from zero

}  // namespace lastwright
