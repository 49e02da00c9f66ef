// JSON as people read and edit it: what fits on a line stands on one.
#pragma once

#include <cstddef>
#include <string>

#include "grading/json/json_text.hpp"

namespace lastwright {

// On one line, with a space after each comma and colon.
std::string on_one_line(const Json& value);

// Indented by `unit` from one level to the next; the text starts where the line is indented by `indent`,
// which its last line is too.
std::string laid_out(const Json& value, std::size_t indent = 0, std::size_t unit = 2);

}  // namespace lastwright
