// What a style states and nothing uses: harmless, and hardly ever meant.
#pragma once

#include <string>
#include <vector>

#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// In words, each with its place as a JSON pointer: measures that no line carries, points that nothing names,
// formes and drawings without a piece, codes without marks, ties, allowances and increments for sizes outside
// the run, limits of what the style does not have, keys of features that their other keys leave without
// effect. Precondition: the style has passed check_style, and the run is its.
std::vector<std::string> unused_statements(const StyleSpec& style, const SizeRun& run, const Scale& scale);

}  // namespace lastwright
