// Where the points lie that a kind of shoe names by their role.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/shoe_kind.hpp"

namespace lastwright {

// Whether a rule of a kind for formes of this kind is one for this forme.
inline bool of_forme(const DraftForme& forme, DraftKind kind) {
  return forme.kind == kind && kind != DraftKind::kOwn;
}

// Gives the forme the points of its kind that it does not have yet; to be called before its points are named.
// What a mark names is left as it is. A point on the front line is moved along it so that a line from it is
// drawn as long as what it carries, where `bases` (mm, by measure) say that and it is near.
void place_kind_points(const std::vector<DraftPiece>& pieces, DraftForme& forme, const ShoeKind& kind,
                       const std::map<std::string, double>& bases, std::vector<Proposed>& proposed);

}  // namespace lastwright
