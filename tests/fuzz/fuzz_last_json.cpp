// Any bytes as the file of a last: refused with a Problem, or read.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "grading/lasts/last_spec.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const auto spec = read_last_spec(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
  if (spec) {
    invariant(!spec->bases.empty(), "a last has a base");
  } else {
    invariant(!to_text(spec.problem()).empty(), "a problem has words");
  }
  return 0;
}
