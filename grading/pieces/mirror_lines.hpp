// Mirror lines: on which edge each says that its piece is cut double.
//
// A mirror line is on a straight edge where no end of either lies farther than kOnFold from the line through
// the other, and at least half of the shorter lies along the longer: it may be shorter than the fold, run on
// beyond it, or be drawn in parts. It is used where that edge is the fold that the style states, and it is on
// no other edge of the piece; every other one is told by what it misses.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/units.hpp"
#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

inline constexpr Millimetres kOnFold{0.06};  // what is drawn to a twentieth of a millimetre

// What a mirror line may lie on: an edge, by its ends.
struct EdgeChord {
  Vec2 from;
  Vec2 to;
  bool straight = true;
};
// Whether curves that follow each other leave the line through their ends by no more than kOnFold.
bool is_straight(std::span<const Curve> curves);

struct MirrorFit {
  double off = 0.0;    // mm: the farthest that an end of either lies from the line through the other
  double along = 0.0;  // mm of the two that lie beside each other; below 0: how far they lie apart along it
  bool on = false;
};
MirrorFit mirror_fit(const std::pair<Vec2, Vec2>& mirror, const EdgeChord& edge);

struct MirroredEdge {
  std::size_t edge = 0;
  double off = 0.0;   // as in MirrorFit
  bool sure = false;  // a mirror line is on it, and none is on another edge
};
// Of the longest mirror line that is on one edge alone; where there is none, of the longest that is near one
// edge alone, within tolerance::kCornerSnap. `mirrors`: the longest first.
std::optional<MirroredEdge> mirrored_edge(std::span<const std::pair<Vec2, Vec2>> mirrors,
                                          std::span<const EdgeChord> edges);
std::optional<MirroredEdge> mirrored_edge(const BoundPiece& piece);

struct UnusedMirror {
  std::string reason;
  bool not_doubled = false;  // the piece states no fold, and is not drawn whole about this line
};
// Why a mirror line of the piece, whose edges are cut, is not used; nullopt: it is.
std::optional<UnusedMirror> unused_mirror(const BoundPiece& piece, const std::pair<Vec2, Vec2>& mirror);
// The same of what is drawn among the mirror lines and is no straight line.
UnusedMirror bent_mirror(const BoundPiece& piece, std::span<const Curve> curves, bool closed);

}  // namespace lastwright
