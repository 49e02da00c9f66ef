// Readings of one hand again where the other hand's are missing: repeats of one last, or both lasts of a pair
// noted as one hand.
#pragma once

#include <string>
#include <vector>

#include "grading/measures/measure_table.hpp"
#include "grading/readings/readings.hpp"

namespace lastwright {

// "P07 left: ball girth (lines 12, 13), instep girth (lines 14, 15)": of each id and hand the measures that
// were read more than once of this hand and never of the other. At most 10 ids by name. Empty: none.
std::string one_hand_again(const std::vector<Reading>& readings, const MeasureTable& table);

}  // namespace lastwright
