// Exact numbers out of JSON values: written as text ("1/3 in") or as a number (5, 6.35).
#pragma once

#include <string>

#include "grading/json_text.hpp"
#include "grading/quantity.hpp"

namespace lastwright {

// The text of a label, a fraction or a quantity: a string as it stands, a number in its shortest decimal
// form.
std::string text_of(const Json& value);

// The value at `pointer`, which stands in `document`; problems carry the place.
Result<Fraction> fraction_at(const JsonDocument& document, const std::string& pointer);
Result<Quantity> quantity_at(const JsonDocument& document, const std::string& pointer);

}  // namespace lastwright
