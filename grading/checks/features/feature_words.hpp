// What a feature along edges is, in words that are equal where it is the same on another piece.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "grading/style/feature_spec.hpp"

namespace lastwright {

using CommonEdges =
    std::map<std::string, std::string>;  // a piece's edges, and what the two call each of them

// Nothing for what stands at a place of its own, or along edges that are not in common.
std::optional<std::string> words_of(const FeatureSpec& feature, const CommonEdges& names);

}  // namespace lastwright
