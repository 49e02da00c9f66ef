// Any bytes as a file that the program itself writes and reads again: the manifest of a set and a die order.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "cli/files/manifest.hpp"
#include "geometry/invariant.hpp"
#include "grading/dies/order/ordered_die.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const Result<Manifest> manifest = parse_manifest(text);
  if (!manifest) invariant(!to_text(manifest.problem()).empty(), "a problem has words");
  const auto dies = read_die_order(text, "fuzz");
  if (!dies) invariant(!to_text(dies.problem()).empty(), "a problem has words");
  return 0;
}
