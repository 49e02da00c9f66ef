// Makes a sheet fit for a cutter: coordinates on the grid of the file (tolerance::kDrawingGrid), no segment
// too short to cut, nothing twice.
#pragma once

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/die_drawing.hpp"
#include "geometry/result.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

struct SheetPrepareOptions {
  Millimetres shortest = tolerance::kShortestSegment;  // shorter segments are merged into a neighbour
  Millimetres merge_error =
      tolerance::kArcFit;  // merging may move an outline by no more than this, measured both ways
  Millimetres mark_error = tolerance::kShortestSegment;  // the same for lines, which are marks; their ends
                                                         // may be shortened by as much
  // What is too short of an outline and cannot be merged so closely, such as a step between two allowances,
  // is absorbed where that moves the outline by no more than this, measured both ways.
  Millimetres absorb = tolerance::kShortestSegment;
};

// Outlines and lines in the order of their operations, otherwise as given. Refuses, with the place: what is
// not finite or lies beyond a kilometre, a path without two vertices, a short segment that cannot be merged
// within merge_error or mark_error nor absorbed, a hole without radius, a text without height, and outlines,
// lines or holes of one operation that are there twice.
Result<Sheet> prepare_sheet(const Sheet& sheet, const SheetPrepareOptions& options = {});

// How far prepare_sheet moves such an outline, in millimetres; 0 where it absorbs nothing, or refuses.
double absorbed_move(const ClosedArcPath& outline, const SheetPrepareOptions& options = {});

}  // namespace lastwright
