// How the pieces of an upper stand: heel, toe, base line, the straight front line, the back.
#pragma once

#include <optional>

#include "grading/draft/draft_forme.hpp"

namespace lastwright {

// Nothing where the pieces do not lie as on an upper forme: a long lower edge
// between two corners, all pieces on one side of it, high at the heel and low
// at the toe. `stick`: as long as that edge about, where it is known.
std::optional<DraftForme> standing_upper(const std::vector<DraftPiece>& pieces,
                                         const std::vector<std::size_t>& which, std::optional<double> stick);

}  // namespace lastwright
