// The supplies of a works file and who they come from: read, and refused where they cannot be meant.
#pragma once

#include <vector>

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// Reads "supplies" and "suppliers" of a file that keeps its schema. Precondition: `works` has the styles,
// materials and assortments of the file.
//
// Refused is what one file says against itself: a name that begins or ends in a blank; a style, a part or a
// supplier that is not there; a circle of parts; a part by the pair and by the case; a unit that a stated
// material cannot be counted in; and a key that no figure counts with.
void take_supplies(const JsonDocument& document, WorksSpec& works, std::vector<Problem>& problems);

// A material has a price of its own, and the price of its supply is in no figure unless it is taken by the
// pair as well.
Status price_counts(const SupplySpec& supply);

}  // namespace lastwright
