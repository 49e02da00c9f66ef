#include "grading/style/style_values.hpp"

#include <fmt/format.h>

#include <utility>

#include "grading/sizes/plain_decimal.hpp"

namespace lastwright {

void StyleValues::refuse(const std::string& pointer, const Problem& problem) {
  if (problems_.size() < kMostStyleProblems) problems_.push_back(document_.bad(pointer, problem.message));
}

void StyleValues::not_below_zero(Millimetres limit, const std::string& pointer) {
  if (limit < Millimetres(0.0))
    refuse(pointer, bad_value(fmt::format("a limit must be 0 or more, not {:g} mm", limit.value())));
}

Fraction StyleValues::fraction_of(const Json& value, const std::string& pointer) {
  const Result<Fraction> parsed = parse_fraction(without_exponent(text_of(value)));
  if (parsed) return *parsed;
  refuse(pointer, parsed.problem());
  return 1;
}

Fraction StyleValues::fraction(const Json& from, const char* key, const std::string& at, Fraction otherwise) {
  const auto found = from.find(key);
  return found == from.end() ? otherwise : fraction_of(*found, pointer_to(at, key));
}

Quantity StyleValues::quantity_of(const Json& value, const std::string& pointer) {
  Result<Quantity> parsed = parse_quantity(text_of(value));
  if (parsed) return std::move(*parsed);
  refuse(pointer, parsed.problem());
  return {};
}

std::optional<Quantity> StyleValues::quantity(const Json& from, const char* key, const std::string& at) {
  const auto found = from.find(key);
  if (found == from.end()) return std::nullopt;
  return quantity_of(*found, pointer_to(at, key));
}

Millimetres StyleValues::millimetres_at(const Json& from, const char* key, const std::string& at,
                                        Millimetres otherwise) {
  const auto found = from.find(key);
  return found == from.end() ? otherwise : length(*found, pointer_to(at, key));
}

Millimetres StyleValues::length(const Json& value, const std::string& pointer) {
  const Result<Millimetres> length = length_of(value);
  if (length) return *length;
  refuse(pointer, length.problem());
  return Millimetres(0.0);
}

Vec2 StyleValues::shift(const Json& pair, const std::string& at) {
  return {length(pair[0], pointer_to(at, std::size_t{0})).value(),
          length(pair[1], pointer_to(at, std::size_t{1})).value()};
}

std::vector<std::string> StyleValues::texts(const Json& list) {
  return list.get<std::vector<std::string>>();
}
Vec2 StyleValues::place(const Json& pair) {
  return {pair[0].get<double>(), pair[1].get<double>()};
}
std::optional<std::string> StyleValues::text(const Json& from, const char* key) {
  const auto found = from.find(key);
  return found == from.end() ? std::nullopt : std::optional(found->get<std::string>());
}

}  // namespace lastwright
