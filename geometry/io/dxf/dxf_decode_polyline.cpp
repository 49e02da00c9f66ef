// LWPOLYLINE and POLYLINE.
#include <fmt/format.h>

#include <algorithm>

#include "geometry/io/dxf/dxf_decode.hpp"

namespace lastwright {

DxfShape decode_lwpolyline(DxfFields& fields) {
  constexpr std::int64_t kClosed = 1;
  const double facing = fields.facing();
  DxfPolyline polyline;
  polyline.closed = (fields.whole(70, 0) & kClosed) != 0;
  std::vector<ArcVertex>& vertices = polyline.vertices;
  bool has_y = true;
  for (const DxfTag& tag : fields.tags()) {
    if (tag.code == 10) {
      if (!has_y) fields.fail(Trouble::kSyntax, "a vertex has no Y (group code 20)", tag.place);
      vertices.push_back({{facing * fields.coordinate(tag), 0.0}, 0.0});
      has_y = false;
    } else if (tag.code == 20 && !vertices.empty()) {
      vertices.back().at.y = fields.coordinate(tag);
      has_y = true;
    } else if (tag.code == 42 && !vertices.empty()) {
      vertices.back().bulge = facing * fields.coordinate(tag);
    }
  }
  if (!has_y) fields.fail(Trouble::kSyntax, "the last vertex has no Y (group code 20)");
  check_promise(fields, 90, vertices.size(), "vertices");
  return polyline;
}

namespace {

// Flags (group code 70) of POLYLINE and of VERTEX, from the published DXF reference.
constexpr std::int64_t kPolylineClosed = 1;
constexpr std::int64_t kPolylineSpace = 8;
constexpr std::int64_t kPolylineMeshes = 16 | 64;
constexpr std::int64_t kVertexOfControlFrame = 16;  // shapes a spline-fit polyline, is not drawn

}  // namespace

DxfPolylineDecoder::DxfPolylineDecoder(DxfFields& head) {
  const std::int64_t flags = head.whole(70, 0);
  polyline_.closed = (flags & kPolylineClosed) != 0;
  space_ = (flags & kPolylineSpace) != 0;
  mesh_ = (flags & kPolylineMeshes) != 0;
  if (!space_ && !mesh_) facing_ = head.facing();
}

void DxfPolylineDecoder::add_vertex(DxfFields& vertex) {
  if (mesh_) return;
  if ((vertex.whole(70, 0) & kVertexOfControlFrame) != 0) return;
  Vec2 at = vertex.point(10, "the vertex");
  at.x *= facing_;
  polyline_.vertices.push_back({at, space_ ? 0.0 : facing_ * vertex.real(42, 0.0)});
  const double z = vertex.real(30, 0.0);
  lowest_ = any_ ? std::min(lowest_, z) : z;
  highest_ = any_ ? std::max(highest_, z) : z;
  any_ = true;
}

DxfShape DxfPolylineDecoder::finish(DxfFields& head) {
  if (mesh_) return DxfUnread{"a mesh"};
  if (space_) head.must_be_flat(lowest_, highest_);
  return std::move(polyline_);
}

}  // namespace lastwright
