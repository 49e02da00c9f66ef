// Pieces that are drawn beside their forme: they would be graded where they lie, and come out wrong.
#pragma once

#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct OffFormeLimits {
  // Of a piece, this share of its area lies where the forme is: in the convex hull of the forme's points and
  // of the pieces that are there, grown by `grown` of its diameter. Pieces reach beyond the points (a lasting
  // edge, a bottom's welt), hardly ever with the greater part of them: below `told_share` it is told, below
  // `least_share` the piece is refused.
  double told_share = 0.5;
  double least_share = 0.05;
  double grown = 0.1;
  double same_place = 1.0;  // mm: edges nearer than this lie on each other, as corners are found
  double same_shape = 0.3;  // mm: edges that can be laid on each other this nearly are one edge drawn twice
  double bow = 1.0;         // mm: straighter edges have no shape to be known by
};

struct OffForme {
  std::vector<Problem> problems;   // each with its place in the style
  std::vector<std::string> notes;  // what is doubtful
  // Of the problems, the pieces that lie off their formes: indices into `pieces`, in the order of the formes.
  std::vector<std::size_t> off;
};

// Refuses, unless the piece says where it lies:
// - a piece of which less than the least share lies where the forme is, or on a piece that is not refused;
// - a piece none of whose seams to pieces of its forme lies together, though the two edges of one are of one
//   shape.
// Pieces with two corners on named points of the forme are in their place. Where an edge, or corners named as
// points of the forme are, tell which "lies" would fit, the message says it with what it would miss by.
// `pieces`: all that could be bound.
OffForme off_forme(const StyleSpec& style, const std::vector<BoundPiece>& pieces,
                   const OffFormeLimits& limits = {});

}  // namespace lastwright
