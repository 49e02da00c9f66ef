// How the pieces of a bottom stand: heel, toe, the joints, the seat.
#pragma once

#include <optional>

#include "grading/draft/draft_forme.hpp"

namespace lastwright {

// By the insole, or by the piece that is shaped most like one. Nothing where none is shaped like a sole.
std::optional<DraftForme> standing_bottom(const std::vector<DraftPiece>& pieces,
                                          const std::vector<std::size_t>& which);

}  // namespace lastwright
