// Pieces of a style with their corners and edges, out of its file.
#pragma once

#include <string>

#include "grading/json/json_forward.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

class StyleValues;

// What stands at that place of "/pieces".
PieceSpec read_piece(const Json& from, const std::string& at, StyleValues& values);

}  // namespace lastwright
