// A tab of a workbook as a table of texts.
#pragma once

#include <string>
#include <string_view>

#include "grading/planning/order.hpp"

namespace lastwright {

// Which tab of several: the one that is asked for by name, else the one that is called so.
struct TabChoice {
  std::string asked = {};
  std::string called = "order";
  std::string option = "--sheet";  // by which one is asked for; empty: there is none
};

// The first row that `heads` takes names the columns, else the first that holds anything; empty rows and rows
// that begin with # are passed over. Cells come as cli/tables/xlsx_read gives them; a row with a cell that is
// neither a text nor a number, or with a value under no heading, has a fault. Lines are the rows of the tab.
// Of a workbook with one tab that is the one, whatever its name.
Result<TextTable> parse_xlsx_table(std::string_view bytes, const std::string& file, const TabChoice& choice,
                                   const TextTableLimits& limits = {}, const HeadsTable& heads = {});

}  // namespace lastwright
