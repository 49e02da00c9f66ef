// A tab of a workbook as a table of texts.
#pragma once

#include <string>
#include <string_view>

#include "grading/planning/order.hpp"

namespace lastwright {

// The first row that `heads` takes names the columns, else the first that holds anything; empty rows and rows
// that begin with # are passed over. Cells come as cli/xlsx_read gives them; a row with a cell that is
// neither a text nor a number, or with a value under no heading, has a fault. Lines are the rows of the tab.
// `sheet`: its name; empty for the only one, or of several the one that is called order.
Result<TextTable> parse_xlsx_table(std::string_view bytes, const std::string& file, const std::string& sheet,
                                   const TextTableLimits& limits = {}, const HeadsTable& heads = {});

}  // namespace lastwright
