#include "grading/json_value.hpp"

#include <fmt/format.h>

namespace lastwright {
namespace {

const Json& value_at(const JsonDocument& document, const std::string& pointer) {
  return document.root.at(Json::json_pointer(pointer));
}

}  // namespace

std::string text_of(const Json& value) {
  if (value.is_string()) return value.get<std::string>();
  if (value.is_number_integer()) return fmt::format("{}", value.get<std::int64_t>());
  return fmt::format("{}", value.get<double>());  // the shortest form that reads back the same
}

Result<Fraction> fraction_at(const JsonDocument& document, const std::string& pointer) {
  Result<Fraction> value = parse_fraction(text_of(value_at(document, pointer)));
  if (!value) return document.bad(pointer, value.problem().message);
  return value;
}

Result<Quantity> quantity_at(const JsonDocument& document, const std::string& pointer) {
  Result<Quantity> value = parse_quantity(text_of(value_at(document, pointer)));
  if (!value) return document.bad(pointer, value.problem().message);
  return value;
}

Json fraction_json(const Fraction& value) {
  if (value.denominator() == 1) return value.numerator();
  return to_mixed(value);
}

Json number_json(double value) {
  constexpr double kExact = 1e15;
  if (value > -kExact && value < kExact && value == static_cast<double>(static_cast<std::int64_t>(value))) {
    return static_cast<std::int64_t>(value);
  }
  return value;
}

Json place_json(Vec2 at) {
  return Json::array({number_json(at.x), number_json(at.y)});
}

}  // namespace lastwright
