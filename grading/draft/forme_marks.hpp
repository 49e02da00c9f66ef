// The places that texts of a drawing name, as points of the formes they lie on.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/draft/point_names.hpp"

namespace lastwright {

// Each mark gets the piece in which it is drawn, else the nearest of its drawing. Before pieces are laid.
void find_owners_of_marks(std::vector<NamedMark>& marks, const std::vector<DraftPiece>& pieces);

// The marks by forme, as they lie there. A name that stands at two places of a forme, and one of what the
// forme stands on that is not where it stands, is not taken, and that is no success: it goes to `lost`.
std::map<std::string, std::vector<NamedMark>> judge_marks(const std::vector<NamedMark>& marks,
                                                          const std::vector<DraftPiece>& pieces,
                                                          const std::vector<DraftForme>& formes,
                                                          std::vector<std::string>& lost);

}  // namespace lastwright
