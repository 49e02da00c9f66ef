#include "grading/checks/allowances/net_spikes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kHollow = 0.26;       // sine of 15 degrees: a corner to the right that is hollow
constexpr double kHollowTurn = 0.263;  // radians: the same
constexpr double kHollowArc = 16.0;    // mm: an arc to the right of a smaller radius is hollow
constexpr double kShortArc = 0.2;      // radians
constexpr double kHollowRun = 4.2;     // mm in which such an arc turns as far as a hollow corner
constexpr double kLonger = 1.5;        // times what width and turn explain; a square step comes to 1.42
constexpr double kLongerRaw = 4.0;     // without an allowance
constexpr double kNarrowest = 0.001;   // mm: nearer places are one

double turn_between(Vec2 from, Vec2 to) {
  return std::atan2(cross(from, to), dot(from, to));
}

// Whether short lines turn to the right from a vertex on, or up to it, as a narrow hollow arc does. The
// corners between them are too flat to be hollow by themselves.
bool hollow_in_lines(const ClosedArcPath& path, std::size_t vertex, bool onward) {
  const std::size_t n = path.size();
  double right = 0.0;
  double gone = 0.0;
  for (std::size_t k = 0; k < n && gone <= kHollowRun; ++k) {
    const std::size_t at = (onward ? vertex + k : vertex + n - k) % n;
    const ArcSegment before = path.segment((at + n - 1) % n);
    const ArcSegment after = path.segment(at);
    const double turn = -turn_between(before.end_tangent(), after.start_tangent());
    if (!(turn > 0.0)) return false;
    right += turn;
    if (right > kHollowTurn) return true;
    const ArcSegment& next = onward ? after : before;
    right -= next.sweep();
    gone += next.length();
  }
  return false;
}

// Whether a vertex is hollow, or lies on a narrow hollow arc, or at an end of one that is drawn in short
// lines.
bool hollow_at(const ClosedArcPath& path, std::size_t vertex) {
  const ArcSegment before = path.segment(vertex == 0 ? path.size() - 1 : vertex - 1);
  const ArcSegment after = path.segment(vertex);
  const auto arc = [](const ArcSegment& one) {
    return one.bulge < 0.0 && one.curvature() < -1.0 / kHollowArc;
  };
  if (arc(before) || arc(after)) return true;
  const Vec2 arriving = before.end_tangent();
  const Vec2 leaving = after.start_tangent();
  const double right = -cross(arriving, leaving);
  if (right > kHollow || (right > 0.0 && dot(arriving, leaving) < 0.0)) return true;
  return right > 0.0 && (hollow_in_lines(path, vertex, true) || hollow_in_lines(path, vertex, false));
}

// The outline with its narrow hollow arcs in short ones, for a spike may begin anywhere on them.
EdgedOutline in_short_arcs(const EdgedOutline& net) {
  EdgedOutline out;
  for (std::size_t i = 0; i < net.path.size(); ++i) {
    const ArcSegment one = net.path.segment(i);
    const bool narrow = one.bulge < 0.0 && one.curvature() < -1.0 / kHollowArc;
    const int parts = narrow ? static_cast<int>(std::ceil(std::abs(one.sweep()) / kShortArc)) : 1;
    for (int k = 0; k < parts; ++k) {
      const ArcSegment part =
          parts == 1 ? one : one.part(static_cast<double>(k) / parts, static_cast<double>(k + 1) / parts);
      out.path.vertices.push_back({part.a, part.bulge});
      out.edge.push_back(net.edge[i]);
    }
  }
  return out;
}

// What is asked of an outline again and again.
struct RunOf {
  double length = 0.0;
  double sweep = 0.0;
  double corner = 0.0;  // the turn at the segment's end
};

std::vector<RunOf> runs_of(const ClosedArcPath& path) {
  std::vector<RunOf> all;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment one = path.segment(i);
    const ArcSegment next = path.segment(i + 1 == path.size() ? 0 : i + 1);
    all.push_back({one.length(), one.sweep(), turn_between(one.end_tangent(), next.start_tangent())});
  }
  return all;
}

// The outline as it runs from one of its vertices, either way round; turns as on the way forward.
class Way {
 public:
  Way(const EdgedOutline& net, const std::vector<RunOf>& measures, std::size_t from, bool forward)
      : net_(net), measures_(measures), from_(from), forward_(forward) {}

  [[nodiscard]] std::size_t index(std::size_t k) const {
    const std::size_t n = net_.path.size();
    if (forward_) return from_ + k < n ? from_ + k : from_ + k - n;
    return from_ > k ? from_ - 1 - k : from_ + n - 1 - k;
  }
  [[nodiscard]] ArcSegment segment(std::size_t k) const {
    const ArcSegment one = net_.path.segment(index(k));
    return forward_ ? one : one.reversed();
  }
  [[nodiscard]] std::size_t edge(std::size_t k) const { return net_.edge[index(k)]; }
  [[nodiscard]] double length(std::size_t k) const { return measures_[index(k)].length; }
  [[nodiscard]] double sweep(std::size_t k) const { return measures_[index(k)].sweep; }
  // The turn where it begins, and behind a segment.
  [[nodiscard]] double first_corner() const {
    return measures_[from_ == 0 ? measures_.size() - 1 : from_ - 1].corner;
  }
  [[nodiscard]] double corner(std::size_t k) const { return measures_[index(forward_ ? k : k + 1)].corner; }
  [[nodiscard]] double sign() const { return forward_ ? 1.0 : -1.0; }

 private:
  const EdgedOutline& net_;
  const std::vector<RunOf>& measures_;
  std::size_t from_;
  bool forward_;
};

class SpikeFinder {
 public:
  SpikeFinder(const EdgedOutline& net, std::span<const Millimetres> allowances)
      : net_(net), allowances_(allowances), measures_(runs_of(net.path)), all_(length(net.path)) {}

  // The narrowest spike that begins or ends at a vertex.
  [[nodiscard]] std::optional<NetSpike> at(std::size_t vertex) const {
    std::optional<NetSpike> found = on(vertex, true);
    const std::optional<NetSpike> other = on(vertex, false);
    return found && other ? (other->width < found->width ? other : found) : found ? found : other;
  }

 private:
  [[nodiscard]] bool material_between(Vec2 p, Vec2 q) const {
    for (const double share : {0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98}) {
      if (!contains(net_.path, p + share * (q - p))) return false;
    }
    return true;
  }

  // The tip: what of the first segments is farthest from the chord.
  [[nodiscard]] NetSpike described(const Way& way, std::size_t count, Vec2 p, Vec2 q) const {
    NetSpike spike;
    spike.width = distance(p, q);
    spike.edge = way.edge(0);
    spike.at = p;
    const Vec2 out = -way.sign() * left_of(unit(q - p));
    for (std::size_t k = 0; k < count; ++k) {
      const ArcSegment one = way.segment(k);
      for (const double share : {0.25, 0.5, 0.75, 1.0}) {
        const Vec2 here = one.point_at(share);
        if (dot(here - p, out) <= spike.length) continue;
        spike.length = dot(here - p, out);
        spike.at = here;
        spike.edge = way.edge(k);
      }
    }
    return spike;
  }

  [[nodiscard]] std::optional<NetSpike> on(std::size_t vertex, bool forward) const {
    const Way way(net_, measures_, vertex, forward);
    const Vec2 p = net_.path.vertices[vertex].at;
    std::optional<NetSpike> found;
    double widest = kWidestSpike.value();
    double gone = 0.0;       // mm of the outline
    double allowance = 0.0;  // mm, the widest since
    double turned = way.first_corner();
    for (std::size_t k = 0; k + 1 < net_.path.size() && gone < 0.5 * all_; ++k) {
      const ArcSegment one = way.segment(k);
      const double long_mm = way.length(k);
      const double corner = way.corner(k);
      allowance = std::max(allowance, allowances_[way.edge(k)].value());
      const auto ask = [&](double t, double leaving) {
        const Vec2 q = one.point_at(t);
        const double wide = distance(p, q);
        if (wide > widest || wide < kNarrowest) return;
        const double line = gone + t * long_mm;
        const double half = 0.5 * (turned + t * way.sweep(k) + leaving);
        if (std::abs(half) >= 0.5 * std::numbers::pi) return;
        const double times = line / wide * std::cos(half);
        if (line > 0.5 * all_ || !(times > (allowance > 0.0 ? kLonger : kLongerRaw))) return;
        if (!material_between(p, q)) return;
        widest = wide;
        found = described(way, k + 1, p, q);
        found->allowance = allowance;
      };
      if (square_of(one.b - p) <= (widest + long_mm) * (widest + long_mm)) {
        ask(1.0, corner);
        const double foot = one.nearest(p);
        if (k > 0 && foot > 1e-6 && foot < 1.0 - 1e-6) ask(foot, 0.0);
      }
      turned += way.sweep(k) + corner;
      gone += long_mm;
    }
    return found;
  }

  const EdgedOutline& net_;
  std::span<const Millimetres> allowances_;
  std::vector<RunOf> measures_;
  double all_ = 0.0;  // mm, the outline
};

}  // namespace

std::vector<NetSpike> net_spikes(const EdgedOutline& net, std::span<const Millimetres> allowances,
                                 bool half) {
  std::vector<NetSpike> found;
  if (net.path.size() < 3) return found;
  const EdgedOutline short_arcs = in_short_arcs(net);
  const std::size_t n = short_arcs.path.size();
  std::optional<SpikeFinder> finder;
  for (std::size_t i = 0; i < (half ? n / 2 + 1 : n); ++i) {
    if (!hollow_at(short_arcs.path, i)) continue;
    if (!finder) finder.emplace(short_arcs, allowances);
    if (const std::optional<NetSpike> one = finder->at(i)) found.push_back(*one);
  }
  return found;
}

}  // namespace lastwright
