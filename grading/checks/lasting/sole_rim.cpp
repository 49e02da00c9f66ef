#include "grading/checks/lasting/sole_rim.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "grading/checks/girths/extent_along.hpp"
#include "grading/grade/girth_line.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kStations = 19;  // at twentieths of the insole's length
constexpr double kEvenRim = 1.0;       // mm

struct Station {
  double wide = 0.0;  // of the insole
  Vec2 left;
  Vec2 right;
  double rim_left = 0.0;
  double rim_right = 0.0;
  [[nodiscard]] double leftward() const { return rim_left - rim_right; }
  [[nodiscard]] double mean() const { return 0.5 * (rim_left + rim_right); }
};
using Stations = std::array<Station, kStations>;

double rim_at(const ClosedArcPath& sole, Vec2 p) {
  const double off = distance_to(sole, p);
  return contains(sole, p) ? off : -off;
}

std::optional<Stations> stations_of(const ClosedArcPath& insole, const ClosedArcPath& sole, Vec2 along,
                                    double low, double high) {
  const Vec2 across = left_of(along);
  const double reach = extent_along(insole, along).reach;
  Stations all;
  for (std::size_t k = 0; k < kStations; ++k) {
    const double share = (static_cast<double>(k) + 1.0) / (static_cast<double>(kStations) + 1.0);
    const Vec2 start = (low + share * (high - low)) * along - reach * across;
    const std::vector<Stretch> inside = stretches_inside({start, start + 2.0 * reach * across, 0.0}, insole);
    if (inside.empty()) return std::nullopt;
    Station& here = all[k];
    here.right = start + inside.front().from * across;
    here.left = start + inside.back().to * across;
    here.wide = inside.back().to - inside.front().from;
    here.rim_right = rim_at(sole, here.right);
    here.rim_left = rim_at(sole, here.left);
  }
  return all;
}

// Least and greatest along the direction, exactly.
Box2 along_the_axis(const ClosedArcPath& path, Vec2 along) {
  return bounds(placed(path, Radians(-std::atan2(along.y, along.x)), {}));
}

// Where the outline reaches farthest along the direction, to a three hundredth of the stretch at its end.
Vec2 end_of(const ClosedArcPath& path, Vec2 along) {
  Vec2 best = path.vertices.front().at;
  for (std::size_t i = 0; i < path.size(); ++i) {
    constexpr int kParts = 64;  // of each segment, for the figure above
    for (int k = 0; k < kParts; ++k) {
      const Vec2 p = path.segment(i).point_at(static_cast<double>(k) / kParts);
      if (dot(p, along) > dot(best, along)) best = p;
    }
  }
  return best;
}

// Whether the difference of the sides runs evenly from the heel to the toe, as of a sole that lies shifted or
// turned, or is there over a few neighbouring stations alone.
bool like_a_motion(const Stations& all) {
  double mean = 0.0;
  double slope = 0.0;
  double spread = 0.0;
  const double middle = 0.5 * static_cast<double>(kStations - 1);
  for (std::size_t k = 0; k < kStations; ++k) {
    const double from_middle = static_cast<double>(k) - middle;
    mean += all[k].leftward() / static_cast<double>(kStations);
    slope += from_middle * all[k].leftward();
    spread += from_middle * from_middle;
  }
  double sum = 0.0;
  for (std::size_t k = 0; k < kStations; ++k) {
    const double off = all[k].leftward() - mean - slope / spread * (static_cast<double>(k) - middle);
    sum += off * off;
  }
  return std::sqrt(sum / static_cast<double>(kStations)) <= kEvenRim;
}
bool on_a_stretch(const Stations& all) {
  constexpr std::size_t kFew = 6;  // less than a third of its length
  std::size_t first = kStations;
  std::size_t last = 0;
  for (std::size_t k = 0; k < kStations; ++k) {
    if (std::abs(all[k].leftward()) <= kEvenRim) continue;
    first = std::min(first, k);
    last = k;
  }
  return first <= last && last - first < kFew;
}

}  // namespace

std::optional<SoleRim> sole_rim(const ClosedArcPath& insole, const ClosedArcPath& sole, Vec2 along) {
  if (insole.size() == 0 || sole.size() == 0) return std::nullopt;
  const Box2 inner = along_the_axis(insole, along);
  const Box2 outer = along_the_axis(sole, along);
  const std::optional<Stations> all = stations_of(insole, sole, along, inner.low.x, inner.high.x);
  if (!all) return std::nullopt;
  SoleRim rim;
  rim.from = inner.low.x - outer.low.x;
  rim.to = outer.high.x - inner.high.x;
  const Station& widest = *std::max_element(
      all->begin(), all->end(), [](const Station& a, const Station& b) { return a.wide < b.wide; });
  rim.left = widest.rim_left;
  rim.right = widest.rim_right;
  rim.at_left = widest.left;
  rim.at_right = widest.right;
  // The point of a pointed toe stands out farther than an even rim is wide: the ends are compared square to
  // the sole's edge too, less what the sides widen by from a quarter of the length to three quarters.
  const double forward = rim.to - rim.from;
  const double widens = (*all)[14].mean() - (*all)[4].mean();
  const double square = rim_at(sole, end_of(insole, along)) - rim_at(sole, end_of(insole, -along)) - widens;
  if (std::abs(forward) > kUnevenRim && square * forward > 0.0 && std::abs(square) > 0.5 * kUnevenRim)
    rim.forward = forward;
  const Station& worst = *std::max_element(all->begin(), all->end(), [](const Station& a, const Station& b) {
    return std::abs(a.leftward()) < std::abs(b.leftward());
  });
  if (std::abs(worst.leftward()) > kUnevenRim && (like_a_motion(*all) || on_a_stretch(*all))) {
    rim.leftward = worst.leftward();
    rim.at_leftward = rim.leftward > 0.0 ? worst.left : worst.right;
  }
  return rim;
}

StyleFinding sole_rim_finding(const SoleRim& rim, const RimNames& names) {
  const std::string figures = fmt::format(
      "{:.2f} mm at {} and {:.2f} mm at {}, along the base line, and where {} is widest {:.2f} mm at "
      "({:.1f}, {:.1f}) and {:.2f} mm at ({:.1f}, {:.1f})",
      rim.from, names.from, rim.to, names.to, names.insole, rim.left, rim.at_left.x, rim.at_left.y, rim.right,
      rim.at_right.x, rim.at_right.y);
  const std::string subject = names.insole + ": " + names.sole;
  if (rim.forward == 0.0 && rim.leftward == 0.0) {
    StyleFinding finding{"sole rim", subject, std::max({rim.from, rim.to, rim.left, rim.right}), {}, "mm", {},
                         true,       ""};
    finding.note =
        fmt::format("is the most of how far {} stands out beyond {}: {}", names.sole, names.insole, figures);
    return finding;
  }
  if (std::abs(rim.forward) >= std::abs(rim.leftward))
    return doubtful_finding(
        "sole rim", subject, std::abs(rim.forward), "mm",
        fmt::format(
            "is how much farther {} stands out beyond {} at {} than at {}, and by common practice the "
            "two differ by {:g} mm at most: is one of them drawn too far along the shoe? Its rim is {}",
            names.sole, names.insole, rim.forward > 0.0 ? names.to : names.from,
            rim.forward > 0.0 ? names.from : names.to, kUnevenRim, figures));
  return doubtful_finding(
      "sole rim", subject, std::abs(rim.leftward), "mm",
      fmt::format(
          "is how much farther {} stands out beyond {} at ({:.1f}, {:.1f}) than on the other side there, and "
          "by common practice the two differ by {:g} mm at most: is one of them drawn to one side, turned, "
          "or "
          "otherwise there? Its rim is {}",
          names.sole, names.insole, rim.at_leftward.x, rim.at_leftward.y, kUnevenRim, figures));
}

}  // namespace lastwright
