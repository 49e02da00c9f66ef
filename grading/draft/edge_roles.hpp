// What the edges of pieces are, from where they lie on their forme.
#pragma once

#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// Edges that are cut anew where another piece's corner lies on them and the two run along each other from
// there: so that what is sewn to what can be said edge by edge. Of pieces that lie beside each other; or,
// once roles are found, of a lining and an upper that lie over each other, where their edges are open. What
// lies on the line of a fold stays the fold: call it when roles are found.
enum class CornersOf { kSideBySide, kOverEachOther };
// Says, a line each, where a corner of one piece lies on another and the style could state none there, for a
// joint of its smooth line lies beside it.
std::vector<std::string> meet_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                                      CornersOf how);

// Folds first: where a mirror line lies; straight edges on the front line from the toe; the straight edge
// of a stiffener. Then what is lasted (the lower edge of all that lies there), the back, the top line. May be
// called again after corners were added.
void find_roles(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes);

// What each edge was taken for, once edges have their names.
void tell_roles(const std::vector<DraftPiece>& pieces, std::vector<Proposed>& proposed);

// Edges of the upper's outside of which nothing is known, once edges are treated: left raw without an
// allowance; and of these the pairs that have both ends in common, face each other and do not quite lie on
// each other.
void tell_left_raw(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                   std::vector<Proposed>& proposed);

// "vamp, edge 3": where an edge stands in the style.
std::string edge_pointer(const DraftPiece& piece, std::size_t edge);

}  // namespace lastwright
