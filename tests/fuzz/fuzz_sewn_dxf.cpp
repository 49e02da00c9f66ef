// Any bytes as a drawing in the sewn-products convention:
// refused, or pieces that are written and read back the same.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const auto drawing = read_sewn_dxf(std::string_view(reinterpret_cast<const char*>(data), size));
  if (!drawing) {
    invariant(!to_text(drawing.problem()).empty(), "a problem has words");
    return 0;
  }
  const Result<std::string> written = write_sewn_dxf(*drawing);
  if (!written) return 0;  // what only the writer refuses: a piece without a boundary, a piece twice
  const auto again = read_sewn_dxf(*written);
  invariant(again && again->pieces.size() == drawing->pieces.size(), "written pieces read back");
  const Result<std::string> once_more = write_sewn_dxf(*again);
  invariant(once_more && *once_more == *written, "what was read back is written the same");
  return 0;
}
