// On which straight edge a heel cover that is drawn as its half is cut double.
//
// The other half has to run on smoothly: both edges beside the middle meet it square. A cover that is its own
// mirror image is drawn whole, and has no such edge.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

struct CoverFold {
  std::optional<std::size_t> edge;  // none: nothing shows it, or two edges fit alike
  double off = 0.0;                 // degrees: how far at most an edge beside it is from square to it
  Sureness sure = Sureness::kGuess;
  std::string why;  // also of none
};

// A heel cover by its name; a platform cover runs round the whole shoe, and is none.
bool covers_heel(const DraftPiece& piece);
// Precondition: the piece is not its own mirror image, and has no mirror line.
CoverFold cover_fold(const DraftPiece& piece);

}  // namespace lastwright
