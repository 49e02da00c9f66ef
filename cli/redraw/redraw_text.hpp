// What a redraw found, in words and as JSON.
#pragma once

#include <string>

#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

std::string redraw_text(const std::string& style, const Redraw& redraw);
std::string redraw_json(const Redraw& redraw);

}  // namespace lastwright
