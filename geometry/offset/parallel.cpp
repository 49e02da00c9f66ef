#include "geometry/offset/parallel.hpp"

#include <cmath>
#include <numbers>
#include <optional>

#include "geometry/offset/offset.hpp"

namespace lastwright {

namespace {

// A joint that turns by less than this counts as smooth: its parallel is then off by less than a nanometre a
// millimetre of distance.
constexpr double kSmooth = 1e-6;

std::optional<OpenArcPath> plain_parallel(const OpenArcPath& path, double left) {
  OpenArcPath line;
  line.vertices.reserve(path.vertices.size());
  double turn = 0.0;
  Vec2 before;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    const Vec2 leaves = segment.start_tangent();
    if (i > 0 && std::abs(cross(before, leaves)) > kSmooth) return std::nullopt;
    if (i > 0 && dot(before, leaves) < 0.0) return std::nullopt;
    turn += std::abs(segment.sweep());
    if (turn >= 0.5 * std::numbers::pi || segment.curvature() * left >= 1.0) return std::nullopt;
    line.vertices.push_back({segment.a + left * left_of(leaves), segment.bulge});
    before = segment.end_tangent();
  }
  line.vertices.push_back({path.vertices.back().at + left * left_of(before), 0.0});
  return line;
}

}  // namespace

Result<OpenArcPath> parallel(const OpenArcPath& path, Millimetres left) {
  if (path.size() > 0 && left.value() != 0.0) {
    if (std::optional<OpenArcPath> line = plain_parallel(path, left.value())) return *std::move(line);
  }
  return offset_open(path, left);
}

}  // namespace lastwright
