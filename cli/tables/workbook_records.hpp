// The tab of a workbook that holds a table with known columns, as records: the header first.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/tables/xlsx_read.hpp"
#include "geometry/files/delimited.hpp"

namespace lastwright {

// A row is the header of a table when it has so many names of its columns; titles above it are passed over.
inline constexpr std::size_t kLeastNames = 3;
inline constexpr std::size_t kMostTitles = 50;

class WorkbookRecords {
 public:
  // The header is the first row with three or more of the `columns` (small or capital); titles may stand
  // above it. Refuses a workbook in which no tab has one, or several have.
  static Result<WorkbookRecords> find(std::string_view bytes, const std::vector<std::string>& columns);

  // `line` of a record is the row as the spreadsheet counts. A cell under one
  // of the columns that holds no plain text is the record's fault; under others
  // it is kept as it shows. Columns without a name are called "column H".
  bool next(DelimitedRecord& record);

 private:
  WorkbookTab tab_;
  std::size_t at_ = 0;                // the next row
  bool started_ = false;              // the header is given
  std::vector<std::size_t> columns_;  // of the sheet that hold anything, ascending
  std::vector<bool> known_;           // which of these are among the columns asked for
};

}  // namespace lastwright
