// Any bytes as a STEP file. Most of what runs here is the solid kernel's own
// reader, which keeps memory for good: run without the leak check
// (-detect_leaks=0). The program starts it as a process of its own for that reason.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "geometry/solid/kernel/kernel.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const auto shape = read_step(std::string_view(reinterpret_cast<const char*>(data), size));
  if (!shape) invariant(!to_text(shape.problem()).empty(), "a problem has words");
  return 0;
}
