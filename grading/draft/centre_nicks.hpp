// Nicks where a piece that is cut double is folded: its centre, which the other pieces and the last meet.
#pragma once

#include <string_view>
#include <vector>

#include "grading/draft/draft_seams.hpp"

namespace lastwright {

// Proposes a nick at each end of each fold, through the allowance of the edge that begins there: common
// practice. None where the allowance is under 2 mm, turned over or trimmed off, for a nick would show or go;
// none where one is drawn already; none where the unfolded piece has a corner there, which marks the centre
// itself; none on an edge that is sewn, where nothing it is sewn to can be nicked at that place.
void propose_centre_nicks(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams,
                          std::vector<PieceSpec>& specs, std::vector<Proposed>& proposed);

// What it says of a drawn nick, between the edge and the depth.
inline constexpr std::string_view kDrawnNickSaid = ": a nick is drawn ";

// How deep the nicks that are drawn are cut: as they are drawn, or why not.
void tell_drawn_nicks(const std::vector<DraftPiece>& pieces, std::vector<Proposed>& proposed);

}  // namespace lastwright
