// Any bytes: the reader returns, what it returns is consistent, and chaining it is too.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "geometry/io/dxf/dxf_read.hpp"

using namespace lastwright;

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  for (const bool repair : {false, true}) {
    DxfReadOptions options;
    options.unit_may_default = true;
    options.repair = repair;
    options.limits.entities = 20'000;
    options.limits.vertices = 50'000;
    const Result<Drawing> drawing = read_dxf(bytes, options);
    if (!drawing) {
      require(!to_text(drawing.problem()).empty());
      continue;
    }
    require(drawing->entities_in == drawing->used() + drawing->left_out.size());
    std::size_t curves = 0;
    for (const DrawnPath& path : drawing->paths) {
      require(!path.curves.empty());
      for (std::size_t i = 0; i + 1 < path.curves.size(); ++i) {
        require(end_of(path.curves[i]) == start_of(path.curves[i + 1]));
      }
      for (const Curve& curve : path.curves) require(is_finite(point_at(curve, 0.5)));
      curves += path.curves.size();
    }
    const ChainedContours chained = chain_contours(*drawing, Millimetres(0.02));
    std::size_t chained_curves = 0;
    for (const Contour& contour : chained.contours) chained_curves += contour.raw.curves.size();
    require(chained_curves == curves);
  }
  return 0;
}
