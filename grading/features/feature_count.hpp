// Whether everything that the features of a piece state is there in what was made of them.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "grading/features/feature_place.hpp"

namespace lastwright {

// Whether the feature belongs on both halves of a piece that is cut double.
bool on_both_halves(const FeatureSpec& feature);

// The fold of an unfolded piece; nothing where there is none.
std::optional<Mirror> fold_of(const GradedPiece& piece);

// How far the mirror image of a hole, line, cut-out, nick or text lies from the nearest of its kind in the
// feature, the greatest of all, and where: 0 where the feature is its own mirror image. Lines and cut-outs
// are compared at their nodes and middles.
std::pair<double, Vec2> off_mirror_image(const PlacedFeature& feature, const Mirror& fold);

// Counted from the spec alone: the holes of a row, the rows of stitches, the marks
// of a code, each twice where it has a mirror image. Fails for the first feature
// that has fewer or more, with what was stated, what was made, and the piece. `at`:
// the size and width that size marks tell; `drawn_as`: the size that counts go by.
Status all_made(const PieceSpec& piece, const FeaturePlan& plan, const SizeWidth& at, const Size& drawn_as,
                const std::optional<Mirror>& fold, const std::vector<PlacedFeature>& made);

// The same of what is drawn: `whole` has every hole, line, cut-out and text of `half`, with its mirror image
// where the piece is cut double.
Status all_drawn_kept(const GradedPiece& half, const GradedPiece& whole, const std::optional<Mirror>& fold);

}  // namespace lastwright
