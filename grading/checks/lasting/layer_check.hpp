// Pieces and the layers they are said to be of.
//
// Pieces of one layer go on round the last side by side. One that lies on another of its layer, and that
// nothing lays there, is of another layer, or drawn too large. Three things explain it: a seam that joins it
// to a piece below it, unless the two are as large as each other and sewn face to face, as an upper to its
// lining; the two being the inside's and the outside's copy of one part, which lie on each other
// only in the drawing (most of the larger is common to both, or their names say inside and outside); and
// pieces without a layer, which belong to all.
//
// A piece without a layer that lies over half of another, or the other way round, without a seam that lays it
// there and not sewn into two layers, is told: a lining whose layer was left out.
//
// What a layer lacks: a layer with sewn edges of which no piece lies on any girth's line, and edges that go
// under or are closed with another piece, where no seam names any and no edge of another piece lies along
// them.
//
// Formes of the bottom are left out: their pieces lie on each other.
#pragma once

#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/checks/girths/piece_girth.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// Doubtful ones alone.
std::vector<StyleFinding> check_layers(const StyleSpec& style, const StyleGrade& grade,
                                       const Result<std::vector<PieceGirth>>& girths);

// mm2 that two outlines have in common, to about a hundredth of the box of the smaller one.
double common_area(const ClosedArcPath& one, const ClosedArcPath& other);

}  // namespace lastwright
