#include "cli/report/edge_names.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kSmallest = 1.3;  // of a capital, millimetres: smaller cannot be read
constexpr double kLeftmost = 105.0 * std::numbers::pi / 180.0;  // no text leans further back
constexpr double kInside = 1.6;                                 // from the net line to the text

struct Run {
  std::size_t first = 0;  // segments, cyclic
  std::size_t count = 0;
};

// Stretches of one edge; the first may begin before segment 0.
std::vector<Run> runs_of(const EdgedOutline& net) {
  const std::size_t n = net.path.size();
  std::size_t start = 0;
  while (start < n && net.edge[start] == net.edge[(start + n - 1) % n]) ++start;
  if (start == n) return {{0, n}};
  std::vector<Run> runs;
  for (std::size_t k = 0; k < n;) {
    Run run{(start + k) % n, 0};
    while (k < n && net.edge[(start + k) % n] == net.edge[run.first]) {
      ++run.count;
      ++k;
    }
    runs.push_back(run);
  }
  return runs;
}

}  // namespace

std::vector<EdgeName> place_edge_names(const EdgedOutline& net, const std::vector<std::string>& names,
                                       double height) {
  std::vector<EdgeName> placed;
  const std::size_t n = net.path.size();
  if (n == 0 || net.edge.size() != n) return placed;
  for (const Run& run : runs_of(net)) {
    const std::size_t edge = net.edge[run.first];
    if (edge >= names.size() || names[edge].empty()) continue;
    double total = 0.0;
    for (std::size_t k = 0; k < run.count; ++k) total += net.path.segment((run.first + k) % n).length();
    const double size = std::min(height, 0.9 * total / std::max(text_width(names[edge]), 0.1));
    if (size < kSmallest) continue;
    double left = total / 2;
    std::size_t k = 0;
    // At a joint, as in the middle of an edge that is its own mirror image, the segment that ends there
    // counts, whatever the rounding.
    const double joint = tolerance::kSamePoint.value();
    while (k + 1 < run.count && left > net.path.segment((run.first + k) % n).length() + joint) {
      left -= net.path.segment((run.first + k) % n).length();
      ++k;
    }
    const ArcSegment s = net.path.segment((run.first + k) % n);
    const double t = s.length() > 0.0 ? std::clamp(left / s.length(), 0.0, 1.0) : 0.0;
    const Vec2 tangent = s.tangent_at(t);
    double angle = std::atan2(tangent.y, tangent.x);
    // Nearly upright ones all read upwards, so that neighbours do not stand on their heads to each other.
    const bool turned = angle > kLeftmost + 1e-9 || angle <= kLeftmost - std::numbers::pi + 1e-9;
    if (turned) angle += angle > 0.0 ? -std::numbers::pi : std::numbers::pi;
    // The inside lies to the left of a counter-clockwise outline; a turned text hangs from its base line into
    // it.
    const Vec2 base = s.point_at(t) + (kInside + (turned ? size : 0.0)) * left_of(tangent);
    placed.push_back({edge,
                      {.at = base,
                       .height = size,
                       .angle = Radians(angle),
                       .anchor = Anchor::kMiddle,
                       .colour = palette::kGrey,
                       .halo = true}});
  }
  return placed;
}

}  // namespace lastwright
