// Texts of features with their words filled in.
#pragma once

#include <string>

#include "grading/features/feature_place.hpp"

namespace lastwright {

// With {style}, {piece}, {size} and {width} of what is on that ground.
std::string filled_text(const std::string& text, const FeatureGround& ground);

}  // namespace lastwright
