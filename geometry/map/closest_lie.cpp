#include "geometry/map/closest_lie.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numbers>
#include <optional>
#include <tuple>

#include "geometry/check/convex_region.hpp"

namespace lastwright {

namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;  // the whole of it
// How many times as far apart outlines may be with their Steiner points on each other (see the header).
constexpr double kSteiner = 1.0 + 4.0 / std::numbers::pi;

// An outline with what is asked of it again and again; its own origin is its Steiner point.
struct Laid {
  Vec2 steiner;
  MeasuredOutline outline;
  std::vector<Vec2> samples;
  double arm = 0.0;  // mm: of its farthest point from the Steiner point
};

// The corners of the convex hull, each weighted by how far the outline turns there.
Vec2 steiner_point(const ClosedArcPath& path) {
  constexpr Millimetres kChord{1e-3};
  const std::vector<Vec2> hull = convex_hull(flattened(path, kChord));
  const std::size_t n = hull.size();
  Vec2 sum{};
  double turns = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 in = hull[i] - hull[(i + n - 1) % n];
    const Vec2 out = hull[(i + 1) % n] - hull[i];
    const double turn = std::abs(std::atan2(cross(in, out), dot(in, out)));
    sum = sum + turn * (hull[i] - hull.front());
    turns += turn;
  }
  if (n == 0) return {};
  return turns > 0.0 ? hull.front() + (1.0 / turns) * sum : hull.front();
}

Laid laid_on_origin(const ClosedArcPath& path) {
  constexpr double kSamples = 160.0;  // along the whole outline: a bound from below at any number of them
  Laid laid;
  laid.steiner = steiner_point(path);
  laid.outline = MeasuredOutline(placed(path, Radians(0.0), -1.0 * laid.steiner));
  double whole = 0.0;
  for (const ReadyArc& arc : laid.outline.arcs()) whole += arc.length;
  double since = 0.0;
  for (const ReadyArc& arc : laid.outline.arcs()) {
    laid.arm = std::max(laid.arm, norm(arc.a) + arc.length);
    since += arc.length;
    if (since < whole / kSamples) continue;
    since = 0.0;
    laid.samples.push_back(arc.b);
    const int parts = static_cast<int>(std::ceil(arc.length * kSamples / whole));
    for (int k = 1; k < parts; ++k) {
      const Vec2 at = lerp(arc.a, arc.b, static_cast<double>(k) / parts);
      laid.samples.push_back(arc.turn == 0.0 ? at : arc.centre + arc.radius * unit(at - arc.centre));
    }
  }
  return laid;
}

bool before(const ClosedArcPath& one, const ClosedArcPath& other) {
  return std::lexicographical_compare(one.vertices.begin(), one.vertices.end(), other.vertices.begin(),
                                      other.vertices.end(), [](const ArcVertex& a, const ArcVertex& b) {
                                        return std::tie(a.at.x, a.at.y, a.bulge) <
                                               std::tie(b.at.x, b.at.y, b.bulge);
                                      });
}

class Closest {
 public:
  Closest(const ClosedArcPath& moving, const ClosedArcPath& still, double also_within)
      : moving_(laid_on_origin(moving)), still_(laid_on_origin(still)), also_within_(also_within) {}

  std::vector<Lie> run() {
    // Of the arm: nearer than the first there is one lie to be found at a turn (in 1,300 pairs of outlines
    // another start led no nearer by a tenth of the precision), farther apart than the second several.
    constexpr double kNear = 0.005;
    constexpr double kFar = 0.05;
    const double arm = std::min(moving_.arm, still_.arm);
    fit({Radians(0.0), moving_.steiner - still_.steiner});  // as they are drawn
    const double drawn_turn = lies_.front().placement.turn.value();
    const bool near = least() <= kNear * arm;
    const bool far = least() > kFar * arm;
    for (const Span& span : open_turns()) {
      // What was reached meanwhile may leave this turn out too, and with it all around whose bound is above.
      if (span.off - arm * span.half > kSteiner * std::max(least(), also_within_)) continue;
      if (near && std::abs(std::remainder(span.turn - drawn_turn, kTurn)) <= 3.0 * span.half) continue;
      fit({Radians(span.turn), {}});
      if (far) fit({Radians(span.turn), middles_apart(span.turn)});
    }
    for (Lie& lie : lies_) {
      const double turn = lie.placement.turn.value();
      lie.placement = {Radians(turn - kTurn * std::round(turn / kTurn)),
                       lie.placement.shift + still_.steiner - turned(moving_.steiner, turn)};
    }
    const auto nearer = [](const Lie& a, const Lie& b) { return a.off < b.off; };
    const auto first = std::min_element(lies_.begin(), lies_.end(), nearer);
    std::vector<Lie> out{*first};
    lies_.erase(first);
    std::copy_if(lies_.begin(), lies_.end(), std::back_inserter(out),
                 [&](const Lie& lie) { return lie.off <= also_within_; });
    std::stable_sort(out.begin() + 1, out.end(), [](const Lie& a, const Lie& b) {
      return std::abs(a.placement.turn.value()) < std::abs(b.placement.turn.value());
    });
    return out;
  }

 private:
  struct Span {
    double turn = 0.0;  // its middle
    double half = 0.0;
    double off = 0.0;  // of the samples there, Steiner point on Steiner point
  };

  [[nodiscard]] double least() const {
    double off = std::numeric_limits<double>::infinity();
    for (const Lie& lie : lies_) off = std::min(off, lie.off);
    return off;
  }

  // The shift that lays the middles of the boxes on each other, at this turn.
  [[nodiscard]] Vec2 middles_apart(double turn) const {
    return still_.outline.box().centre() - moving_.outline.placed(Radians(turn), {}).box().centre();
  }

  void fit(const Placement& start) {
    const std::vector<double> one{1.0};
    const MeasuredOutline begun = moving_.outline.placed(start.turn, start.shift);
    const OutlinePair pair{&begun, &still_.outline, one};
    RigidFitOptions options;
    options.closest = true;
    options.largest_turn = Radians(std::numbers::pi);
    options.sample_step = Millimetres(4.0);
    const RigidFit found = fit_rigidly({&pair, 1}, {}, options);
    lies_.push_back(
        {found.deviations.front().value,
         {Radians(start.turn.value() + found.placement.turn.value()), placed(start.shift, found.placement)}});
  }

  // What the samples say of a turn, Steiner point on Steiner point; something above `enough` as soon as one
  // of them is farther off than that: first of all the one that was so last time, at a turn near by.
  [[nodiscard]] double off_at(double turn, double enough) {
    double off = 0.0;
    const auto see = [&](const std::vector<Vec2>& samples, std::size_t first, double way,
                         const MeasuredOutline& to) -> std::optional<std::size_t> {
      const double c = std::cos(turn);
      const double s = way * std::sin(turn);
      std::size_t hint = 0;
      for (std::size_t k = 0; k < samples.size(); ++k) {
        const std::size_t i = first + k < samples.size() ? first + k : first + k - samples.size();
        const Vec2 p = samples[i];
        const MeasuredOutline::Nearest nearest = to.nearest({c * p.x - s * p.y, s * p.x + c * p.y}, hint);
        hint = nearest.arc;
        off = std::max(off, nearest.distance);
        if (off > enough) return i;
      }
      return std::nullopt;
    };
    if (const auto far = see(moving_.samples, far_moving_, 1.0, still_.outline)) {
      far_moving_ = *far;
    } else if (const auto other = see(still_.samples, far_still_, -1.0, moving_.outline)) {
      far_still_ = *other;
    }
    return off;
  }

  // The turns that are not left out by their bound: of each run of them those where the samples are nearest.
  [[nodiscard]] std::vector<Span> open_turns() {
    constexpr int kFirst = 48;
    constexpr std::size_t kMost = 4096;
    constexpr std::size_t kMostTried = 12;
    const double reached = std::max(least(), also_within_);
    const double arm = std::min(moving_.arm, still_.arm);
    const double fine = std::max(0.5 * reached, kClosestPrecision.value());
    std::vector<Span> open;
    for (int k = 0; k < kFirst; ++k) open.push_back({kTurn * k / kFirst, 0.5 * kTurn / kFirst, 0.0});
    while (true) {
      const double most = kSteiner * reached + arm * open.front().half;
      for (Span& span : open) span.off = off_at(span.turn, most);
      std::erase_if(open, [&](const Span& span) { return span.off > most; });
      if (open.empty() || arm * open.front().half <= fine || 2 * open.size() > kMost) break;
      std::vector<Span> halves;
      for (const Span& span : open) {
        const double half = 0.5 * span.half;
        halves.push_back({span.turn - half, half, 0.0});
        halves.push_back({span.turn + half, half, 0.0});
      }
      open = std::move(halves);
    }
    // Those lower than the next on either side, where there is one.
    const std::size_t n = open.size();
    const auto beside = [&](const Span& one, const Span& next) {
      const double apart = std::abs(std::remainder(one.turn - next.turn, kTurn));
      return apart < 2.5 * one.half ? next.off : std::numeric_limits<double>::infinity();
    };
    std::vector<Span> lowest;
    for (std::size_t i = 0; i < n; ++i) {
      if (n == 1 || (open[i].off <= beside(open[i], open[(i + n - 1) % n]) &&
                     open[i].off <= beside(open[i], open[(i + 1) % n])))
        lowest.push_back(open[i]);
    }
    std::stable_sort(lowest.begin(), lowest.end(),
                     [](const Span& a, const Span& b) { return a.off < b.off; });
    if (lowest.size() > kMostTried) lowest.resize(kMostTried);
    return lowest;
  }

  Laid moving_;
  Laid still_;
  double also_within_;
  std::vector<Lie> lies_;
  std::size_t far_moving_ = 0;  // the sample that was too far off last time
  std::size_t far_still_ = 0;
};

}  // namespace

std::vector<Lie> closest_lies(const ClosedArcPath& one, const ClosedArcPath& other, Millimetres also_within) {
  if (!before(other, one)) return Closest(one, other, also_within.value()).run();
  std::vector<Lie> lies = Closest(other, one, also_within.value()).run();
  for (Lie& lie : lies) {
    const double back = -lie.placement.turn.value();
    lie.placement = {Radians(back), -1.0 * turned(lie.placement.shift, back)};
  }
  return lies;
}

}  // namespace lastwright
