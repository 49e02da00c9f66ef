// The rules of a draft's formes: its lines, what stays straight, what meets a fold square.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_seams.hpp"
#include "grading/draft/point_names.hpp"
#include "grading/draft/shoe_kind.hpp"

namespace lastwright {

// Gives the forme the points of its kind that it does not have yet; to be called before its points are named.
// What a mark names is left as it is. A point on the front line is moved along it so that a line from it is
// drawn as long as what it carries, where `bases` (mm, by measure) say that and it is near.
void place_kind_points(const std::vector<DraftPiece>& pieces, DraftForme& forme, const ShoeKind& kind,
                       const std::map<std::string, double>& bases, std::vector<Proposed>& proposed);

// The forme as the style states it, its lines with what the kind says they carry. Lines whose points are not
// there are left out, and told.
FormeSpec forme_spec(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const ShoeKind& kind,
                     const std::vector<DraftSeam>& seams, double stick, std::vector<Proposed>& proposed);

// What a line that is drawn so long carries of a measure, in ten-thousandths of it, and not nothing.
Fraction drawn_share(double drawn, double whole);

}  // namespace lastwright
