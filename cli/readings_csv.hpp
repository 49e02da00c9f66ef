// Readings as people keep them: a CSV with a header line.
//
// Columns by name, in any order: id, size, width, hand, measure, value, unit and, where there is one, gauge.
// RFC 4180 quoting; lines may end in LF or CR LF; a byte order mark, blank lines and lines that begin with #
// are passed over.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grading/readings/readings.hpp"

namespace lastwright {

struct ReadingsFile {
  std::vector<ReadingRow> rows;
  std::vector<Problem> bad_rows;  // rows with too many or too few fields, or a quote that does not close
};

struct ReadingsLimits {
  std::size_t rows = 1'000'000;
  std::size_t field_bytes = 1000;
};

// Refuses a file without a header or with a column missing, unknown or twice. `file` is used in messages.
Result<ReadingsFile> parse_readings(std::string_view text, const std::string& file,
                                    const ReadingsLimits& limits = {});

}  // namespace lastwright
