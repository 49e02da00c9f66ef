// Any bytes as a table of grade rules: refused, or a table that is written and read back the same.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const auto table = read_grade_rules(std::string_view(reinterpret_cast<const char*>(data), size));
  if (!table) {
    invariant(!to_text(table.problem()).empty(), "a problem has words");
    return 0;
  }
  const Result<std::string> written = write_grade_rules(*table);
  invariant(written.ok(), "a table that was read can be written");
  const auto again = read_grade_rules(*written);
  invariant(again && *write_grade_rules(*again) == *written, "a written table reads back the same");
  return 0;
}
