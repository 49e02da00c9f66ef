// A surface flattened as rigidly as possible (O. Sorkine and M. Alexa, "As-rigid-as-possible surface
// modeling", 2007; L. Liu and others, "A local/global approach to mesh parameterization", 2008), with lines
// that keep their length.
//
// Each triangle is laid by a rotation of its own; what minimises the sum of their disagreement is found by
// turns: best rotations for the points, best points for the rotations. A line of springs alone would keep its
// length by a zigzag: the triangles beside it are made stiffer too. After each settling the springs' rest
// lengths are corrected by what the whole line still lacks, until its total is right.
#pragma once

#include "geometry/flatten/flat_lines.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct FlattenOptions {
  double band = 5.0;          // mm: how far from a line triangles are made stiffer
  double spring = 400.0;      // mm: a spring's stiffness is this over its rest length
  double settled = 1e-3;      // mm: a step that moves no point farther, rigid motion apart, ends the search
  double line_error = 0.005;  // mm: totals of the lines within this end the corrections
  int steps = 4000;           // more are refused
  int corrections = 8;
};

struct Flattened {
  std::vector<Vec2> points;
  int steps = 0;
  double worst_line = 0.0;  // mm: largest miss of a line's total
};

// `start`: any flat copy with the right side up. Refuses a triangle without area and a search that does not
// settle. A copy that is given back has no turned triangle.
Result<Flattened> flatten(const FlatMesh& mesh, std::vector<HeldLine> lines, std::vector<Vec2> start,
                          const FlattenOptions& options = {});

// How many triangles of a flat copy have no positive area.
int turned_triangles(const std::vector<Corners>& triangles, const std::vector<Vec2>& flat);

}  // namespace lastwright
