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

// The forme as the style states it, its lines with what the kind says they carry. Lines whose points are not
// there are left out, and told.
FormeSpec forme_spec(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const ShoeKind& kind,
                     const std::vector<DraftSeam>& seams, double stick, std::vector<Proposed>& proposed);

// What a line that is drawn so long carries of a measure, in ten-thousandths of it, and not nothing.
Fraction drawn_share(double drawn, double whole);

}  // namespace lastwright
