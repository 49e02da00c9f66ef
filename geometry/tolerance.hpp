// The tolerances that several sources share, with their units and the reasons for their sizes.
//
// A tolerance of one source alone stands in that source, as a named constant with its reason beside it. A
// bare number with an exponent ends a reckoning or guards against rounding (1e-3 at most): it judges nothing
// that is cut. tests/layering/check_tolerances.py keeps all three.
#pragma once

#include "geometry/units.hpp"

namespace lastwright::tolerance {

// Two points of one drawing closer than this are the same point. Drawings carry 4 to 6 decimals.
inline constexpr Millimetres kSamePoint{1e-6};

// Whether an outline crosses itself is judged on its curves flattened this finely: a tenth of the finest fit
// that is cut.
inline constexpr Millimetres kOutlineChord{1e-3};

// End points of loose edges are joined into one contour up to this gap unless the caller asks otherwise:
// an order above the rounding of a drawing exported with two decimals, far below anything that is cut.
inline constexpr Millimetres kChainGap{0.02};

// A corner, nick or line that a style or a drawing puts on an outline may lie this far off it: people write
// one decimal or read a ruler, and real features of a pattern are further apart.
inline constexpr Millimetres kCornerSnap{1.0};

// A mapped outline may leave the exact map by this much (0.005 is promised), biarc fit included.
inline constexpr Millimetres kMapped{0.005};

// A true-arc outline may leave the curve it replaces by this much (promised).
inline constexpr Millimetres kArcFit{0.01};

// An offset point may be this far off its distance from the source (promised).
inline constexpr Millimetres kOffset{0.01};

// A measure line or a girth share may miss its table value by this much (promised).
inline constexpr Millimetres kMeasureLine{0.001};

// What pieces put round the last at a girth line may miss what the last asks by this much (promised).
inline constexpr Millimetres kPieceGirth{0.1};

// Openings of an outline that are less deep are roughness of the drawing: nobody cuts them.
inline constexpr Millimetres kOpening{0.1};

// The shortest segment a die drawing may hold: below it a cutter head stutters.
inline constexpr Millimetres kShortestSegment{0.05};

// The last digit of a coordinate in a written drawing: three orders below the finest budget above.
inline constexpr Millimetres kDrawingGrid{1e-6};

// Tangents that differ by less than this are one smooth curve; above it the point is a corner.
// 5 degrees: digitised smooth curves show kinks of 1 to 3 degrees, real corners are above 10.
inline constexpr Radians kCorner{0.0873};

// Crossings of offset pieces closer than this are one node: well above their rounding (1e-10), well below
// what is cut.
inline constexpr Millimetres kNode{1e-7};

// Newton steps and root brackets stop here: a thousandth of the finest budget above.
inline constexpr Millimetres kRoot{1e-9};

// An arc whose bow is below this is measured as its chord when outlines are compared: a thousandth of the
// comparison's precision, and its centre would lie too far away to reckon with.
inline constexpr Millimetres kFlatBow{1e-7};

}  // namespace lastwright::tolerance
