// The features of one piece in one size and width.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geometry/curve/smooth_span.hpp"
#include "geometry/result.hpp"
#include "grading/features/feature_plan.hpp"
#include "grading/features/nick_path.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

struct FoldLine {
  Vec2 from;  // its ends as graded, in the order of the outline
  Vec2 to;
  [[nodiscard]] Mirror mirror() const { return {from, unit(to - from)}; }
};

// What the placing of features needs of a graded piece.
struct FeatureGround {
  const PieceSpec& piece;
  const FeaturePlan& plan;
  std::span<const Vec2> spots;  // FeaturePlan::spots as graded
  std::optional<FoldLine> fold;
  const GradedPiece& graded;  // its net and cut line; of a piece that is cut double the whole of it
  std::span<const Millimetres> allowances;  // one for each edge
  const Size& drawn_as;                     // the size whose outline it has: another one where sizes are tied
  // Of its net line, the drawn half: what is set out square to an edge takes its direction from them.
  std::span<const SmoothSpan> spans = {};
};

// A nick and where its middle lies on the cut line.
struct PlacedNick {
  OutlinePlace at;         // of the mirror image: that of the nick it mirrors
  double allowance = 0.0;  // from the finished edge to the cut line, here
  NickShape shape;
  OpenArcPath path;
  bool mirrored = false;
  NickTells tells = {};
};

// One feature in one size and width, both halves where it has two.
struct PlacedFeature {
  std::vector<GradedHole> holes;  // pricks: radius 0
  std::vector<GradedLine> lines;  // without nicks
  std::vector<ClosedArcPath> cut_outs;
  std::vector<SheetText> texts;
  std::vector<PlacedNick> nicks;
  // Length of a skive band's line that lies outside the
  // piece, which is narrower there than the band. One half's.
  double outside = 0.0;
};

// In the order of the piece's features. Fails, naming piece and feature, where one cannot be made in this
// size: a row without room, a line that does not fit, a nick beside the cut line.
Result<std::vector<PlacedFeature>> place_features(const FeatureGround& ground);

// Into the piece: nicks become lines.
void add_features(std::vector<PlacedFeature> features, GradedPiece& piece);

}  // namespace lastwright
