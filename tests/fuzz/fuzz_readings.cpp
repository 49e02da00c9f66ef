// Any bytes as tape readings: refused, or rows and bad rows, each with its line.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "cli/tables/csv.hpp"
#include "cli/tables/readings_csv.hpp"
#include "geometry/invariant.hpp"
#include "geometry/io/safe_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto file = parse_readings(text, "fuzz", {.rows = 5000, .field_bytes = 1000});
  if (!file) {
    invariant(!to_text(file.problem()).empty(), "a problem has words");
    return 0;
  }
  for (const Problem& bad : file->bad_rows) {
    invariant(bad.place.line > 1 && !to_text(bad).empty(), "a bad row has its line");
  }
  for (const ReadingRow& row : file->rows) {
    invariant(row.line > 1, "a row has its line");
    const std::string cell = csv_field(row.id);
    invariant(cell.empty() || (cell.front() != '=' && cell.front() != '@'), "a cell is no formula");
    for (const char c : safe_text(row.id)) {
      invariant(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "nothing moves the cursor");
    }
  }
  return 0;
}
