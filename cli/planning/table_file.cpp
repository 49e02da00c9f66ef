#include "cli/planning/table_file.hpp"

#include <fmt/format.h>

#include "cli/planning/xlsx_table.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/files/unzip.hpp"
#include "geometry/io/dxf/dxf_file_kind.hpp"

namespace lastwright {

namespace {

Result<TextTable> parsed(const std::string& bytes, const std::string& file, const TabChoice& choice,
                         const HeadsTable& heads) {
  return looks_like_zip(bytes) ? parse_xlsx_table(bytes, file, choice, {}, heads)
                               : parse_csv_table(bytes, file, {}, heads);
}

}  // namespace

Result<TextTable> read_table_file(const std::string& file, const TabChoice& choice, const HeadsTable& heads,
                                  const HeadsTable& nearly) {
  const auto refused = [&](Trouble trouble, std::string message) {
    return Problem{trouble, std::move(message), {file, 0, {}, {}}, {}, {}};
  };
  const Result<std::string> bytes = read_file(file);
  if (!bytes) return bytes.problem();
  const bool workbook = looks_like_zip(*bytes);
  if (!workbook && bytes->starts_with("\xD0\xCF\x11\xE0"))
    return refused(Trouble::kUnsupported,
                   "this is a workbook of the old form, or one with a password: save it as XLSX without a "
                   "password, or as CSV");
  if (const auto kind = workbook ? std::nullopt : foreign_file_kind(*bytes))
    return refused(Trouble::kUnsupported, fmt::format("not a table as CSV or XLSX, but {}", *kind));
  if (!workbook && !choice.asked.empty())
    return refused(Trouble::kUsage, "--sheet names a sheet of a workbook, and the file is none");
  Result<TextTable> table = parsed(*bytes, file, choice, heads);
  if (!table || table->sought == 0) return table;
  Result<TextTable> again = parsed(*bytes, file, choice, nearly);
  return again && again->sought == 0 ? again : table;
}

}  // namespace lastwright
