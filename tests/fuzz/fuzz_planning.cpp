// Any bytes as what planning reads: an order as CSV or as a workbook, a sheet of one, a works file.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "cli/planning/xlsx_table.hpp"
#include "geometry/files/unzip.hpp"
#include "geometry/invariant.hpp"
#include "grading/planning/headings.hpp"
#include "grading/planning/works_json.hpp"

namespace {

using namespace lastwright;

void read_rows(const Result<TextTable>& table, const WorksSpec& works) {
  if (!table) {
    invariant(!to_text(table.problem()).empty(), "a problem has words");
    return;
  }
  SizeRun run;
  for (const int size : {7, 8, 9}) run.sizes.push_back({size, std::to_string(size)});
  run.widths = {{0, "F"}, {1, "G"}};
  run.made = {true, false, true, true, false, true};
  const auto order = read_order(*table, {{"boot", run}}, works);
  if (!order) {
    invariant(!to_text(order.problem()).empty(), "a problem has words");
    return;
  }
  int pairs = 0;
  for (const OrderLine& line : order->lines) {
    invariant(line.pairs > 0 && line.line > 0, "a line orders pairs and has its row");
    invariant(!(line.size == "7" && line.width == "G"), "only what is made is ordered");
    pairs += line.pairs;
  }
  invariant(pairs == order->pairs, "pairs add up");
  for (const Problem& bad : order->bad_rows) invariant(bad.place.line > 0, "a bad row has its line");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const Checked<WorksSpec> read = read_works(text, "fuzz");
  for (const Problem& problem : read.problems()) invariant(!to_text(problem).empty(), "a problem has words");
  WorksSpec works = read ? *read : WorksSpec{};
  works.assortments["six"] = {{"8", "F", 2}, {"9", "G", 4}};
  read_rows(parse_csv_table(text, "fuzz", {.rows = 5000}, heads_order), works);
  if (looks_like_zip(text)) read_rows(parse_xlsx_table(text, "fuzz", {}, {.rows = 5000}, heads_order), works);
  return 0;
}
