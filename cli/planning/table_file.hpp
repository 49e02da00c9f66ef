// A table of texts from a file of any kind that is read.
#pragma once

#include <string>

#include "cli/planning/xlsx_table.hpp"
#include "grading/planning/order.hpp"

namespace lastwright {

// CSV or an XLSX workbook, whichever the file is. `choice`:
// of a workbook, see xlsx_table.hpp; a name that is asked for is refused for CSV. `heads`:
// which row names the columns, see text_table.hpp; where none does, the first that does by `nearly`.
Result<TextTable> read_table_file(const std::string& file, const TabChoice& choice, const HeadsTable& heads,
                                  const HeadsTable& nearly);

}  // namespace lastwright
