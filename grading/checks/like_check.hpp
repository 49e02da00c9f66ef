// Pieces that are unlike their like, or unlike what they lie in: what one of many has otherwise.
//
//   material       one piece of a layer is of the material of another layer, where the others are of one
//   grain          one piece of a layer has no grain line drawn, where all others have
//   size marks     one lasted piece has its size marks along another kind of edge, or on one half, where the
//                  others have them along lasted edges, or on both
//   skive depth    one skive is half as deep again as, or less than two thirds of, all others on its material
//   lap unstitched a lap of a layer that no stitch line holds, where other edges of the layer are stitched
//   piece number   a lasted piece that is cut double goes once into each shoe
//   sole thickness an insole is half as thick again as its outsole
//   hole count     a row has fewer holes in a larger size
//
// All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

std::vector<StyleFinding> check_likes(const StyleSpec& style, const StyleGrade& grade);

// Whether two pieces are the inside's and the outside's copy of one part by what is stated: their edges are
// called and treated alike, neither is cut double.
bool stated_alike(const PieceSpec& one, const PieceSpec& other);

}  // namespace lastwright
