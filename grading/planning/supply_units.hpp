// The unit in which a supply of a material is counted: which there are, and what of it is ordered whole.
#pragma once

#include <string>
#include <vector>

#include "geometry/problem.hpp"
#include "geometry/result.hpp"
#include "grading/planning/consumption.hpp"

namespace lastwright {

// "hides", "m" or "sheets", as the material is bought; "pieces" where that is ready cut.
const char* counted_in(BoughtAs bought);

// Why a supply cannot be counted in the unit that it states, from this piece of its material, and in which it
// can. Precondition: it cannot.
Problem unit_refused(const SupplySpec& supply, const PieceNeed& need, const WorksSpec& works);

// Of a supply that has the name of a material: its unit, unless given; and its multiple, unless given, where
// it is ordered whole: sheets (by their area too), hides, pieces. A multiple of the user's own that parts a
// sheet or a hide is told; one that parts a piece is refused. Of any other supply nothing.
Status order_whole(SupplySpec& supply, const Needs& needs, const WorksSpec& works,
                   std::vector<std::string>& notes);

}  // namespace lastwright
