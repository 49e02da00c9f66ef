#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "geometry/units.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

namespace {

constexpr double kMostChordTurn = 25.0;   // degrees: a half circle in eight chords turns by 22.5
constexpr std::size_t kFewestChords = 3;  // corners of an end: fewer are cut off by intent

// Which way the outline turns at the start of a curve, where it is a joint of short lines; else 0.
int chord_turn(const std::vector<Curve>& curves, std::size_t i, double shorter) {
  const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
  for (const Curve* one : {&before, &curves[i]}) {
    if (!std::holds_alternative<Line>(*one) || length(*one) > shorter) return 0;
  }
  const double turn = to_degrees(Radians(angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0))));
  if (turn == 0.0 || std::abs(turn) > kMostChordTurn) return 0;
  return turn > 0.0 ? 1 : -1;
}

}  // namespace

std::size_t drop_chord_corners(DraftPiece& strap, const std::vector<Vec2>& sides) {
  const std::vector<Curve>& curves = strap.outline.curves();
  const std::size_t n = curves.size();
  double longest = 0.0;
  for (const Curve& curve : curves) longest = std::max(longest, length(curve));
  const double shorter = 0.5 * strap.area / std::max(longest, 1e-3);
  std::vector<int> turns(n);
  for (std::size_t i = 0; i < n; ++i) turns[i] = chord_turn(curves, i, shorter);
  std::vector<Vec2> chords;  // of runs that are long enough
  for (std::size_t i = 0; i < n; ++i) {
    if (turns[i] == 0 || turns[(i + n - 1) % n] == turns[i]) continue;
    std::vector<Vec2> run;
    for (std::size_t k = i; turns[k % n] == turns[i] && run.size() < n; ++k)
      run.push_back(start_of(curves[k % n]));
    if (run.size() >= kFewestChords) chords.insert(chords.end(), run.begin(), run.end());
  }
  std::vector<Vec2> kept;
  for (const DraftCorner& corner : strap.corners) {
    const bool of_chords =
        std::any_of(chords.begin(), chords.end(), [&](Vec2 p) { return distance(p, corner.at) <= 1e-6; });
    if (!of_chords) kept.push_back(corner.at);
  }
  const std::size_t dropped = strap.corners.size() - kept.size();
  kept.insert(kept.end(), sides.begin(), sides.end());
  if (kept.size() < 2 || dropped == 0 || !set_corners_at(strap, kept)) return 0;
  return dropped;
}

}  // namespace lastwright
