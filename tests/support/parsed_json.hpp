// JSON texts of tests, whole or a test fails: parsed by one function, as the library's parser costs a second
// in every source that calls it. Throws what the library throws on what is no JSON.
#pragma once

#include <iosfwd>
#include <string_view>

#include "grading/json/json_forward.hpp"

namespace lastwright::test {

Json parsed_json(std::string_view text);
Json parsed_json(std::istream& text);

}  // namespace lastwright::test
