#include "cli/report/edge_names.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kSmallest = 1.3;  // of a capital, millimetres: smaller cannot be read
constexpr double kLeftmost = 105.0 * std::numbers::pi / 180.0;  // no text leans further back
constexpr double kOff = 1.6;                                    // from the line to the text

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

// The middle of the text at this length along the run, `off` to its left; `outside`: to its right.
SvgText name_at(const ClosedArcPath& path, const Run& run, double along, double off, double size,
                bool outside) {
  const std::size_t n = path.size();
  std::size_t k = 0;
  // At a joint, as in the middle of an edge that is its own mirror image, the segment that ends there
  // counts, whatever the rounding.
  const double joint = tolerance::kSamePoint.value();
  while (k + 1 < run.count && along > path.segment((run.first + k) % n).length() + joint) {
    along -= path.segment((run.first + k) % n).length();
    ++k;
  }
  const ArcSegment s = path.segment((run.first + k) % n);
  const double t = s.length() > 0.0 ? std::clamp(along / s.length(), 0.0, 1.0) : 0.0;
  const Vec2 tangent = s.tangent_at(t);
  double angle = std::atan2(tangent.y, tangent.x);
  // Nearly upright ones all read upwards, so that neighbours do not stand on their heads to each other.
  const bool turned = angle > kLeftmost + 1e-9 || angle <= kLeftmost - std::numbers::pi + 1e-9;
  if (turned) angle += angle > 0.0 ? -std::numbers::pi : std::numbers::pi;
  // The inside lies to the left of a counter-clockwise outline; a text whose head points back to the line
  // hangs from its base line.
  const Vec2 away = outside ? -left_of(tangent) : left_of(tangent);
  const Vec2 base = s.point_at(t) + (off + (turned != outside ? size : 0.0)) * away;
  return {.at = base,
          .height = size,
          .angle = Radians(angle),
          .anchor = Anchor::kMiddle,
          .colour = palette::kGrey,
          .halo = true};
}

double length_of(const ClosedArcPath& path, const Run& run) {
  double total = 0.0;
  for (std::size_t k = 0; k < run.count; ++k) total += path.segment((run.first + k) % path.size()).length();
  return total;
}

// The first free place along the run, nearest to its middle first.
std::optional<SvgText> free_place(const ClosedArcPath& path, const Run& run, const std::string& name,
                                  double size, double off, bool outside, const LabelRoom& room) {
  const double total = length_of(path, run);
  const double half = 0.5 * size * text_width(name);
  for (const double share : {0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82}) {
    if (share != 0.5 && std::min(share, 1.0 - share) * total < half) continue;
    const SvgText there = name_at(path, run, share * total, off, size, outside);
    if (room.free(there, name, !outside)) return there;
  }
  return std::nullopt;
}

std::optional<SvgText> place_name(const GradedPiece& piece, const Run& run, const std::vector<Run>& cut_runs,
                                  const std::string& name, double size, const LabelRoom& room) {
  for (const double off : {kOff, 3.0, 4.5, 6.0, 8.0}) {
    if (auto there = free_place(piece.net.path, run, name, size, off, false, room)) return there;
  }
  for (const Run& outer : cut_runs) {
    if (piece.cut.edge[outer.first] != piece.net.edge[run.first]) continue;
    if (auto there = free_place(piece.cut.path, outer, name, size, kOff, true, room)) return there;
  }
  for (const double off : {11.0, 14.0}) {
    if (auto there = free_place(piece.net.path, run, name, size, off, false, room)) return there;
  }
  return std::nullopt;
}

}  // namespace

std::vector<EdgeName> place_edge_names(const GradedPiece& piece, const std::vector<std::string>& names,
                                       double height, LabelRoom& room) {
  std::vector<EdgeName> placed;
  const EdgedOutline& net = piece.net;
  if (net.path.size() == 0 || net.edge.size() != net.path.size()) return placed;
  std::vector<Run> cut_runs;
  if (piece.cut.path.size() > 0 && piece.cut.edge.size() == piece.cut.path.size())
    cut_runs = runs_of(piece.cut);
  for (const Run& run : runs_of(net)) {
    const std::size_t edge = net.edge[run.first];
    if (edge >= names.size() || names[edge].empty()) continue;
    const double size =
        std::min(height, 0.9 * length_of(net.path, run) / std::max(text_width(names[edge]), 0.1));
    if (size < kSmallest) continue;
    const std::optional<SvgText> there = place_name(piece, run, cut_runs, names[edge], size, room);
    if (!there) continue;
    room.take(*there, names[edge]);
    placed.push_back({edge, *there});
  }
  return placed;
}

}  // namespace lastwright
