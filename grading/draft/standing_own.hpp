// How a piece stands that lies on no forme of the last: a strap, a heel cover, a piece drawn by itself.
#pragma once

#include "grading/draft/draft_forme.hpp"

namespace lastwright {

// Its base line is its mirror line, else its longest straight edge, else its length.
DraftForme standing_own(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which);

}  // namespace lastwright
