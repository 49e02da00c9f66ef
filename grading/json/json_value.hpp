// Exact numbers out of JSON values: written as text ("1/3 in") or as a number (5, 6.35).
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/sizes/quantity.hpp"

namespace lastwright {

// The text of a label, a fraction or a quantity: a string
// as it stands, a number in its shortest decimal form.
std::string text_of(const Json& value);

// The value at `pointer`, which stands in `document`; problems carry the place.
Result<Fraction> fraction_at(const JsonDocument& document, const std::string& pointer);
Result<Quantity> quantity_at(const JsonDocument& document, const std::string& pointer);
// A length that need not stay exact: a JSON number is millimetres as it stands, however many decimals it has,
// a text is what parse_quantity takes. Refuses what is beyond all of these (1e11 mm). So every length that is
// written reads back.
Result<Millimetres> length_of(const Json& value);
Result<Millimetres> length_at(const JsonDocument& document, const std::string& pointer);

// The other way round. Exact and short: 5, "1/3", 2.5; whole numbers without a trailing ".0".
Json fraction_json(const Fraction& value);
Json number_json(double value);
Json number_json(Millimetres value);
Json place_json(Vec2 at);
// Of millimetres a tenth of a micrometre, which is what a drawing holds; more digits would only differ
// between machines. Never -0.
double four_decimals(double value);

}  // namespace lastwright
