// Any bytes as an STL mesh: refused, or a mesh whose
// triangles join corners that are there, and that reads back.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "geometry/solid/stl.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  const auto read = read_stl(std::string_view(reinterpret_cast<const char*>(data), size), 1.0);
  if (!read) {
    invariant(!to_text(read.problem()).empty(), "a problem has words");
    return 0;
  }
  invariant(!read->mesh.triangles.empty(), "a mesh has triangles");
  for (const auto& triangle : read->mesh.triangles) {
    for (const std::uint32_t corner : triangle)
      invariant(corner < read->mesh.points.size(), "a corner is there");
  }
  for (const Vec3& point : read->mesh.points) invariant(std::isfinite(norm(point)), "a point is a place");
  (void)std::isfinite(volume(read->mesh));
  const auto again = read_stl(write_stl(read->mesh, "fuzz"), 1.0);
  // Single precision may flatten the thinnest triangles; no more are lost.
  invariant(!again || again->mesh.triangles.size() + again->flat == read->mesh.triangles.size(),
            "it reads back");
  return 0;
}
