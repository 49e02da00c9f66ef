// What a schema cannot say of where pieces lie: names that are used exist, what is to meet can be found.
#pragma once

#include "grading/style/style_check.hpp"

namespace lastwright {

// All faults of the pieces' "lies", in the order of the file. Precondition: corners and edges are checked,
// though not sound for certain.
std::vector<StyleFault> lies_faults(const StyleSpec& style);

// The pieces that must lie before this one does: those it meets.
std::vector<std::string> lies_on(const PieceSpec& piece);

}  // namespace lastwright
