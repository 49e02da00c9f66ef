// What the readings of a batch are rounded to, in words.
#pragma once

#include <string>

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// "tape 1 to 0.5 mm, tape 2 to 1/16 in (in line 7 to 0.002 in)": the steps that readings of each gauge are taken
// to be noted to, and which of them are noted to another than most.
std::string rounded_to(const BatchReport& report);

}  // namespace lastwright
