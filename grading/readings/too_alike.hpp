// Readings that agree with the table, or left with right, more than hands and tapes let them, and rows that
// are there twice.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// In words, with figures; empty where the agreement may be chance. Readings count as taken by hand where one
// scatters by 0.3 mm (common practice, as of the default limits); told is what readings of 0.2 mm would show
// less than once in a million batches. A finer gauge, or work that is read to a coarse step, is not told.
std::string too_alike(const BatchReport& report);

// Of each row that says what a row before it says in every column, both lines, ascending: pasted twice, or
// read again to the same figure.
std::vector<std::pair<long, long>> duplicate_rows(const std::vector<Reading>& readings);

}  // namespace lastwright
