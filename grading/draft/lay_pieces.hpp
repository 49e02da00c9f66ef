// Pieces that were drawn beside their forme, laid onto it by edges they share with pieces that lie there.
#pragma once

#include <vector>

#include "grading/draft/draft_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// How one piece lies: an edge of it on an edge of a piece that lies already.
struct LaidByEdge {
  std::size_t piece = 0;
  std::size_t edge = 0;
  std::size_t on = 0;  // the piece that lies
  std::size_t on_edge = 0;
  bool mirrored = false;  // it is drawn turned over
  double residual = 0.0;  // mm: the farthest that the two edges then miss each other
  bool shown = false;     // by an edge that bends, or by ends where the outline runs on
};

struct LaidPieces {
  std::vector<LaidByEdge> laid;        // in the order in which they were laid
  std::vector<std::string> told;       // what might be laid and was not, and why
  std::vector<std::string> undecided;  // what could lie in several ways, and stays where it is drawn
};

// Pieces move to where they lie: one group stays (grading/draft/laying_starts), and what has an edge of the
// same length and shape as an edge of what lies already is laid on it, the best fit first. Where the first
// group and all that is laid on it do not show how they stand on the last, that one stays from which as many
// are laid and do show it. All ways of a piece are compared
// (grading/draft/lay_choice); one that could lie in several ways stays where it is drawn, and these are told.
// `only_tell`: nothing moves; what would is told.
LaidPieces lay_pieces(std::vector<DraftPiece>& pieces, bool only_tell);

}  // namespace lastwright
