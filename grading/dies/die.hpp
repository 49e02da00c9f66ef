// A cutting die and what can be measured on it: the figures of the order sheet and of the die-making checks.
//
// All lengths are exact sums over lines and arcs; all distances
// are least distances between arcs, not between points.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/die_drawing.hpp"
#include "geometry/map/rigid_fit.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// What the die cuts, punches and marks. The outline keeps
// its edges' indices: tolerances and seams go by edge.
struct DieShape {
  EdgedOutline cut;
  std::vector<ClosedArcPath> cut_outs;
  std::vector<GradedHole> holes;            // punched; a hole of radius 0 is a prick
  std::vector<GradedLine> marks;            // nicks and pricked lines made by the die itself
  std::vector<GradedLine> size_marks = {};  // nicks that tell size or width; a die for several has none
};
// Takes from a graded piece what is cut by the die: drawn-only lines, texts and the net line stay behind.
DieShape die_shape_of(const GradedPiece& piece);
// For the other foot.
DieShape mirrored(const DieShape& shape);
// Elsewhere, turned and moved as a whole.
DieShape placed(const DieShape& shape, const Placement& placement);
// Its marks and its size marks as one list of marks, in this order: what the die of that one size makes.
DieShape with_size_marks(DieShape shape);
// What these tell together.
NickTells told_by(const std::vector<GradedLine>& marks);

// A measured distance or radius with its place; no value where
// there is nothing to measure (no hole, no concave arc).
struct PlacedLength {
  double value = 0.0;
  Vec2 at;
};
using MaybeLength = std::optional<PlacedLength>;

// A corner of a rule. The angle is the material's, inside the piece: 90 degrees for a box, above 180 for a
// notch in it.
struct Corner {
  Radians inside;
  Vec2 at;
};

// What is hard to bend about one rule.
struct RuleBends {
  MaybeLength radius_outside;   // least, of the arcs that bulge out of the material
  MaybeLength radius_inside;    // of those that bulge into it
  MaybeLength straight;         // shortest
  MaybeLength neck;             // when narrower than kLookOut
  std::vector<Corner> corners;  // turns of at least kRealCorner
};

// A closed shape inside the outline.
struct CutOutFacts {
  double rule = 0.0;    // mm, round it
  double width = 0.0;   // diameter of the largest circle inside: what a slot is wide, within 0.001 mm
  double length = 0.0;  // as the trade states a punch, see punch_size
  double across = 0.0;  // square to it
  Vec2 at;              // centre of that circle
  RuleBends bends;
};

struct DieFacts {
  double rule_outer = 0.0;  // mm, the outline
  double rule_inner = 0.0;  // mm, all cut-outs
  double area = 0.0;        // mm^2 of material: outline less cut-outs less punched holes
  Box2 box;                 // in the drawing's frame
  int punches = 0;          // holes with a radius
  int pricks = 0;
  int nicks = 0;  // size marks among them
  int cut_outs = 0;
  std::vector<CutOutFacts> cut_out_facts;  // in the order of the shape
  std::vector<Corner> corners;             // turns of at least kRealCorner, outline and bent cut-outs
  std::optional<Corner> sharpest;          // the one that turns most; of equals one that points out of it
  std::optional<Corner>
      sharpest_inside;         // the sharpest that points into the material (inside angle above 180)
  std::vector<Corner> breaks;  // tangent breaks below kCorner but visible: kinks in what should be smooth
  RuleBends outline;           // of the outline alone
  MaybeLength smallest_radius_outside;  // of all rules: the arcs that bulge out of the material
  MaybeLength smallest_radius_inside;   // of the arcs that bulge into it
  MaybeLength shortest_straight;        // between two bends: corners, kinks, arcs tighter than kGentle
  MaybeLength shortest_segment;
  MaybeLength hole_to_edge;   // rim of a punched hole to the nearest rule
  MaybeLength hole_to_hole;   // rim to rim
  MaybeLength smallest_hole;  // diameter
  MaybeLength rule_gap;       // outline to cut-out or cut-out to cut-out
  MaybeLength narrowest;      // neck of one rule, when narrower than kLookOut
};

// A rule that turns by less is bent in as it is formed; at a corner it is bent sharp or joined. Common
// practice, no published figure found: 20 degrees.
inline constexpr Radians kRealCorner{0.34906585039886592};

// Corners whose turns differ by less are printed alike: half of the whole degree that a drawing states.
inline constexpr Radians kAsSharp{0.0087};

// Tangent breaks smaller than this are rounding, larger ones a kink a die maker sees: half a degree.
inline constexpr Radians kKink{0.0087};
// Arcs of this radius or more are formed by hand and take
// no bend of their own (common practice, from memory).
inline constexpr Millimetres kGentle{10.0};
// Necks and slots wider than this are not looked for: four
// times the widest published least gap between rules.
inline constexpr Millimetres kLookOut{10.0};

DieFacts measure_die(const DieShape& shape);
// Takes the least radii, straights and necks of all rules, and their corners, from the outline and the
// cut-outs that are bent from rule.
void take_bends(DieFacts& facts, const std::function<bool(const CutOutFacts&)>& is_bent);

// The turn after which the outline's upright box is smallest in area and not higher than wide. The hull is
// taken from points within 0.01 mm of the outline; the box itself is that of the true arcs.
Radians smallest_box_turn(const ClosedArcPath& path);

// A small closed shape as a punch is stated: the greatest length, tip to tip, and the width square to it; of
// a shape that fills nine tenths of its smallest box or more, as a square, a rectangle and a slot do, the
// sides of that box. mm.
struct PunchSize {
  double length = 0.0;
  double across = 0.0;
};
PunchSize punch_size(const ClosedArcPath& path);

// Centroid, and the direction of one principal axis of the area, from points within 0.05 mm of the outline.
struct PrincipalAxes {
  Vec2 centre;
  Radians angle;
};
PrincipalAxes principal_axes(const ClosedArcPath& path);

}  // namespace lastwright
