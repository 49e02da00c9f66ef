// Tables as a spreadsheet workbook (Office Open XML), one tab a table.
//
// Header in bold and kept in sight, numbers as numbers with the column's decimals, texts always as texts:
// nothing that was typed can become a formula or a link. Same tables, same bytes: the workbook's date is
// fixed, or SOURCE_DATE_EPOCH.
#pragma once

#include <string>
#include <vector>

#include "cli/tables/table.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// The file's bytes. A text over the 32,767 characters that a cell holds goes on in the cells below it:
// nothing of it is lost. Refuses no tables, and what the format cannot hold: over 1,048,575 rows or
// 16,384 columns, a heading over 32,767 characters. Names of tabs are made to fit (31 characters, none of
// []:*?/\, all different).
Result<std::string> to_xlsx(const std::vector<Table>& tables, const std::string& title);

}  // namespace lastwright
