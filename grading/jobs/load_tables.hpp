// The reference tables of a run: the built-in ones and the files a user names.
#pragma once

#include <string>
#include <vector>

#include "grading/measures/reference_tables.hpp"

namespace lastwright {

// Reads each file and adds it. Scales and ladders may be
// named before they are read: the order of the files is free.
Result<ReferenceTables> load_tables(const std::vector<std::string>& files);

}  // namespace lastwright
