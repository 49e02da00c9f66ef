// Any bytes as a reference table: added or refused.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "grading/measures/reference_tables.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  ReferenceTables tables;
  const Status added = tables.add(std::string_view(reinterpret_cast<const char*>(data), size), "fuzz");
  if (!added) invariant(!to_text(added.problem()).empty(), "a problem has words");
  return 0;
}
