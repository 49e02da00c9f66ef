// What the drawing itself proves of where each piece lies on its forme.
//
// A piece is graded where it lies, so one that was moved or turned on the sheet comes out wrong in every size
// but the sample. What it has in common with others tells that it was not: edges that lie on each other, a
// margin that stays the same along a bent edge, corners at the same place, corners and edges on points of the
// forme, an edge along the base line. Each of these is a direction in which a place of the piece cannot be
// moved unnoticed; three independent ones hold a piece. Pieces that hold each other are one body, which wants
// three of the forme's, or of a body that has them.
//
// A piece that was moved by half a millimetre is not held where it then lies: what touches by so little and
// holds by a fifth or more (place_freedom) tells that.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct PlaceProofLimits {
  Millimetres touching{0.06};  // of two edges, corners, points: what is drawn to a tenth lies as near
  Radians along{0.1};          // edges that run this much alike lie along each other
  Millimetres margin{20.0};    // the widest that two edges are looked at for a constant distance
  Millimetres constant{0.1};   // how much such a distance may change
  // Comparisons of a place with a straight: a hundred times what the demo takes.
  std::size_t work = 100'000'000;
};

// Pieces that hold each other, none of which anything holds to the forme.
struct LoosePieces {
  std::vector<std::size_t> pieces;  // indices, rising
  // 0: nothing holds them. 1, 2: something does, but they may still slide or turn.
  int held = 0;
  // With two of three: the way they may still be moved, as a direction or, where they turn, about a place.
  bool turns = false;
  Vec2 motion;
};

struct PlaceProof {
  std::vector<LoosePieces> loose;
  bool complete = true;  // false: there was too much to look at, and `loose` says nothing
};

// Of the pieces on one forme. A piece whose "lies" is stated has its place by that, one with two corners on
// named points by these.
PlaceProof loose_pieces(const FormeSpec& forme, const std::vector<const BoundPiece*>& pieces,
                        const PlaceProofLimits& limits = {});

// In words: "nothing proves where the strap lies".
std::string to_text(const LoosePieces& loose, const std::vector<const BoundPiece*>& pieces);

}  // namespace lastwright
