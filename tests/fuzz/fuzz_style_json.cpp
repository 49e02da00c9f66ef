// Any bytes as a style file: refused with a Problem, or a style that reads back the same.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "grading/style/style_json.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const StyleRead read = read_style(text, "fuzz");
  invariant(read.ok() == read.problems.empty(), "a style or problems");
  for (const Problem& problem : read.problems) invariant(!to_text(problem).empty(), "a problem has words");
  if (!read.ok()) return 0;
  const std::string once = write_style(*read.style);
  const StyleRead again = read_style(once, "fuzz");
  invariant(again.ok() && write_style(*again.style) == once, "a written style reads back the same");
  return 0;
}
