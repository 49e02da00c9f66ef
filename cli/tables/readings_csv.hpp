// Readings as people keep them: delimited text or a spreadsheet, with a header line.
//
// Columns by name, in any order, small or capital: id, size, width, hand, measure, value, unit and, where
// there is one, gauge. Other columns are kept and printed beside the readings. Text as in delimited.hpp:
// commas, semicolons or tabs; a comma is the decimal sign where it does not part the fields. Of a workbook
// (XLSX) the one tab that names these columns is read, as in workbook_records.hpp.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grading/readings/readings.hpp"

namespace lastwright {

struct ReadingsFile {
  std::vector<ReadingRow> rows;
  std::vector<std::string> other_columns;  // as the header has them, in its order
  std::vector<ReadingRow> left_empty;      // rows without a value: not filled in, not read
  std::vector<Problem> bad_rows;     // rows with too many or too few fields, or a quote that does not close
  std::vector<std::string> bad_ids;  // the ids of those, as far as they show one
};

struct ReadingsLimits {
  std::size_t rows = 1'000'000;
  std::size_t field_bytes = 1000;
};

// Refuses a file without a header, or with a column missing or twice. `file` is used in messages.
Result<ReadingsFile> parse_readings(std::string_view text, const std::string& file,
                                    const ReadingsLimits& limits = {});

// What of a last was not read, in words: "not read at all: L0012 left; not read: ball girth of L0011 left".
// A row without a value and a row that is not there are one: a measure that was read, or asked for in a row,
// of at least half of the lasts is missed in the others, and a hand where at least half of the ids have both.
// Empty where nothing is missed.
std::string not_read(const ReadingsFile& file);

// Which lasts have rows and no reading that could be judged: "not judged at all: P03, P07 left". Empty where
// every one has.
std::string not_judged(const ReadingsFile& file, const CheckedReadings& checked);

}  // namespace lastwright
