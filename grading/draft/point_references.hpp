// Points of a forme that a draft states by what they are, so that they live with the drawing.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/draft/point_names.hpp"

namespace lastwright {

// Of pieces that lie where they are drawn: a point that a text of the drawing names is stated by that mark.
// One that is no corner of a piece but lies on an edge of one is stated as a share of that edge, to a
// hundred-millionth of its length, and put exactly there; the others keep their coordinates. `marks`: by
// forme; `drawings`: by key. Precondition: the style has the formes and pieces, and no references yet.
void state_references(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                      const std::map<std::string, std::vector<NamedMark>>& marks,
                      const std::map<std::string, const Drawing*>& drawings, StyleSpec& style);

}  // namespace lastwright
