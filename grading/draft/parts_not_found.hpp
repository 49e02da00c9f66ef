// What the drawings of a whole upper lack.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// One line where pieces of an upper are drawn and no insole, no outsole, or neither, by the names of all
// pieces that lie on no upper; nothing where one of a bottom has a name that says no part of a shoe.
std::vector<std::string> parts_not_found(const std::vector<DraftPiece>& pieces,
                                         const std::vector<DraftForme>& formes);

}  // namespace lastwright
