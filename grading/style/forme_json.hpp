// Formes of a style with their rules, and the girths that their lines make up, out of its file.
#pragma once

#include <string>

#include "grading/json/json_forward.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

class StyleValues;

// What stands under its name at "/formes" and at "/girths".
FormeSpec read_forme(const std::string& name, const Json& from, StyleValues& values);
GirthSpec read_girth(const std::string& name, const Json& from, StyleValues& values);

}  // namespace lastwright
