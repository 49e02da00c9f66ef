// Every tolerance of the program, with its unit and the reason for its size.
//
// A number compared against a length anywhere else is a defect: it belongs here.
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

// Arcs whose centres and radii agree this well are one round hole: exports round to three decimals.
inline constexpr Millimetres kRoundHole{0.01};

// A mapped outline may leave the exact map by this much (design budget 0.005), biarc fit included.
inline constexpr Millimetres kMapped{0.005};

// A true-arc outline may leave the curve it replaces by this much (design budget 0.01).
inline constexpr Millimetres kArcFit{0.01};

// An offset point may be this far off its distance from the source (design budget 0.01).
inline constexpr Millimetres kOffset{0.01};

// A measure line or a girth share may miss its table value by this much (design budget 0.001).
inline constexpr Millimetres kMeasureLine{0.001};

// A seam pair may differ by this much beyond the difference it has in the base (design budget, settable).
inline constexpr Millimetres kSeam{0.1};

// What pieces put round the last at a girth line may miss what the last asks by this much (design budget of a
// girth).
inline constexpr Millimetres kPieceGirth{0.1};

// Openings of an outline that are less deep are roughness of the drawing: nobody cuts them.
inline constexpr Millimetres kOpening{0.1};

// The shortest segment a die drawing may hold (design, section 4): below it a cutter head stutters.
inline constexpr Millimetres kShortestSegment{0.05};

// The last digit of a coordinate in a written drawing: three orders below the finest budget above.
inline constexpr Millimetres kDrawingGrid{1e-6};

// No coordinate of a written drawing lies further out: a kilometre. Beyond it something has gone wrong
// before.
inline constexpr Millimetres kFarthestDrawn{1e6};

// Tangents that differ by less than this are one smooth curve; above it the point is a corner.
// 5 degrees: digitised smooth curves show kinks of 1 to 3 degrees, real corners are above 10.
inline constexpr Radians kCorner{0.0873};

// Neighbours that leave each other at less than this fold back on themselves: a metre of such a spike is a
// micron wide.
inline constexpr Radians kSpike{1e-6};

// Crossings of offset pieces closer than this are one node: well above their rounding (1e-10), well below
// what is cut.
inline constexpr Millimetres kNode{1e-7};

// Newton steps and root brackets stop here: a thousandth of the finest budget above.
inline constexpr Millimetres kRoot{1e-9};

// An arc whose bow is below this is measured as its chord when outlines are compared: a thousandth of the
// comparison's precision, and its centre would lie too far away to reckon with.
inline constexpr Millimetres kFlatBow{1e-7};

}  // namespace lastwright::tolerance
