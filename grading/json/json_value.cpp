#include "grading/json/json_value.hpp"

#include <fmt/format.h>

#include <cmath>

#include "grading/json/json_text.hpp"
#include "grading/sizes/plain_decimal.hpp"

namespace lastwright {
namespace {

// What a schema has not looked at may be anything.
Status must_be_written(const Json& value, const JsonDocument& document, const std::string& pointer) {
  if (value.is_string() || value.is_number()) return Done{};
  return document.bad(pointer, "must be a number or a text, not " + shown(value));
}

Result<std::string> written_at(const JsonDocument& document, const std::string& pointer) {
  const Json& value = document.root.at(Json::json_pointer(pointer));
  if (Status plain = must_be_written(value, document, pointer); !plain) return plain.problem();
  return text_of(value);
}

}  // namespace

std::string text_of(const Json& value) {
  if (value.is_string()) return value.get<std::string>();
  if (value.is_number_float())
    return without_exponent(fmt::format("{}", value.get<double>()));  // the shortest
  return value.dump();  // whole numbers, also beyond 64 bits with a sign
}

Result<Fraction> fraction_at(const JsonDocument& document, const std::string& pointer) {
  const Result<std::string> text = written_at(document, pointer);
  if (!text) return text.problem();
  Result<Fraction> value = parse_fraction(without_exponent(*text));
  if (!value) return document.bad(pointer, value.problem().message);
  return value;
}

Result<Quantity> quantity_at(const JsonDocument& document, const std::string& pointer) {
  const Result<std::string> text = written_at(document, pointer);
  if (!text) return text.problem();
  Result<Quantity> value = parse_quantity(*text);
  if (!value) return document.bad(pointer, value.problem().message);
  return value;
}

Result<Millimetres> length_of(const Json& value) {
  constexpr double kFarthest = 1e11;  // parse_quantity takes up to 10^9 in
  if (value.is_number() && std::abs(value.get<double>()) < kFarthest) return Millimetres(value.get<double>());
  const Result<Quantity> quantity = parse_quantity(text_of(value));
  if (!quantity) return quantity.problem();
  return Millimetres(quantity->millimetres.value());
}

Result<Millimetres> length_at(const JsonDocument& document, const std::string& pointer) {
  const Json& value = document.root.at(Json::json_pointer(pointer));
  if (Status plain = must_be_written(value, document, pointer); !plain) return plain.problem();
  Result<Millimetres> length = length_of(value);
  if (!length) return document.bad(pointer, length.problem().message);
  return length;
}

Json fraction_json(const Fraction& value) {
  if (value.denominator() == 1) return value.numerator();
  return to_mixed(value);
}

Json number_json(double value) {
  constexpr double kExact = 1e15;  // whole numbers below it are exact in a double
  if (value > -kExact && value < kExact && value == static_cast<double>(static_cast<std::int64_t>(value))) {
    return static_cast<std::int64_t>(value);
  }
  return value;
}

Json number_json(Millimetres value) {
  return number_json(value.value());
}

double four_decimals(double value) {
  return std::round(value * 1e4) / 1e4 + 0.0;
}

Json place_json(Vec2 at) {
  return Json::array({number_json(at.x), number_json(at.y)});
}

}  // namespace lastwright
