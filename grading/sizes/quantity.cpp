#include "grading/sizes/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>

#include "grading/sizes/plain_decimal.hpp"
#include "grading/sizes/trimmed.hpp"

namespace lastwright {
namespace {

struct Unit {
  std::string_view name;
  std::int64_t numerator;  // millimetres per unit
  std::int64_t denominator;
};
constexpr std::array<Unit, 5> kUnits{
    {{"mm", 1, 1}, {"cm", 10, 1}, {"in", 127, 5}, {"\"", 127, 5}, {"\u2033", 127, 5}}};

}  // namespace

Result<Quantity> parse_quantity(std::string_view text) {
  std::string_view number = trimmed(text);
  Fraction per_unit = 1;
  bool has_unit = false;
  for (const Unit& unit : kUnits) {
    if (!number.ends_with(unit.name)) continue;
    number = trimmed(number.substr(0, number.size() - unit.name.size()));
    per_unit = Fraction(unit.numerator, unit.denominator);
    has_unit = true;
    break;
  }
  if (number.find(',') != std::string_view::npos) {
    std::string pointed(trimmed(text));
    std::replace(pointed.begin(), pointed.end(), ',', '.');
    return bad_value(fmt::format("\"{}\" has a comma; the decimal sign is a point: write \"{}\"", text,
                                 parse_quantity(pointed) ? pointed : "6.35 mm"));
  }
  const Result<Fraction> value = parse_fraction(without_exponent(number));
  if (!value) {
    return bad_value(fmt::format(
        "\"{}\" is not a length; write a number and a unit (mm, cm, in): \"1/4 in\", \"6.35 mm\"", text));
  }
  // Times 127 / 5 it must still fit.
  constexpr std::int64_t kMost = std::numeric_limits<std::int64_t>::max() / 127;
  if (std::abs(value->numerator()) > kMost || value->denominator() > kMost)
    return bad_value(fmt::format("\"{}\" has more digits than a length can need", text));
  return Quantity{*value * per_unit, std::string(trimmed(text)), has_unit};
}

Quantity millimetres(Fraction value) {
  // A step of a scale in inches has no finite decimal in millimetres: 1/3 in is 8 7/15 mm.
  constexpr std::int64_t kFinestInch = 96;
  const Fraction inches = value * Fraction(5, 127);
  if (1000 % value.denominator() != 0 && inches.denominator() <= kFinestInch)
    return {value, to_mixed(inches) + " in", true};
  return {value, to_decimal(value) + " mm", true};
}

std::string to_inches(Fraction millimetres, int denominator) {
  invariant(denominator > 0, "inches in parts that are not positive");
  // Fractions that the products below would take beyond 64 bits are no halves anybody wrote.
  constexpr std::int64_t kMost = std::int64_t{1} << 40;
  if (std::abs(millimetres.numerator()) > kMost || millimetres.denominator() > kMost)
    return to_inches(millimetres.value(), denominator);
  return to_mixed(round_to(millimetres * Fraction(5, 127), Fraction(1, denominator)));
}

std::string to_inches(double millimetres, int denominator) {
  invariant(denominator > 0 && std::isfinite(millimetres) && std::abs(millimetres) < 1e9,
            "inches of a length that is not a sensible number");
  const double parts = millimetres * 5.0 * denominator / 127.0;
  return to_mixed(Fraction(std::llround(parts), denominator));
}

}  // namespace lastwright
