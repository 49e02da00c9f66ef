// What a schema cannot say of features: names that are used
// exist, sizes are above nothing, edges follow each other.
#pragma once

#include "grading/style/style_check.hpp"

namespace lastwright {

// All faults of the features, codes and feature limits of a style, in the order of the file. Pure names and
// numbers: whether a row fits on its edge is found when it is placed.
std::vector<StyleFault> feature_faults(const StyleSpec& style);

}  // namespace lastwright
