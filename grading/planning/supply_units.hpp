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

// Whether a supply that has the name of a material is counted in what the material can be: dm2 (unless
// stated), sq ft, pieces, and m of a roll, sheets, or hides where the works gives one; pieces alone (unless
// stated) of what is bought ready cut. The problem says why not and in which it can. `material`: as the works
// file states it; null where it is left to the styles.
Status unit_fits(const SupplySpec& supply, const MaterialSpec* material);

// No part of a piece can be had.
Status multiple_fits(const SupplySpec& supply, const MaterialSpec* material);

// Of a supply that has the name of a material: its unit, unless given; and its multiple, unless given, where
// it is ordered whole: sheets (by their area too), hides, pieces. A multiple of the user's own that parts a
// sheet or a hide is told. Of any other supply nothing. Precondition: both of the above hold.
void order_whole(SupplySpec& supply, const Needs& needs, const WorksSpec& works,
                 std::vector<std::string>& notes);

}  // namespace lastwright
