// How the features of a piece keep the limits of the style, in one size and width.
//
// Distances are from arc to arc and exact; the box of a text is an estimate.
#pragma once

#include <vector>

#include "grading/features/feature_place.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// The worst that each feature comes to by each rule, in mm: by feature (one more for what is drawn), then by
// rule. Infinite where there is nothing to measure; empty where the features could not be placed.
using FeatureLook = std::vector<double>;

// `piece`: with its cut line, without the features.
FeatureLook look_at_features(const GradedPiece& piece, const std::vector<PlacedFeature>& features);

}  // namespace lastwright
