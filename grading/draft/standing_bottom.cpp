#include "grading/draft/standing_bottom.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/tolerance.hpp"
#include "grading/draft/piece_groups.hpp"

namespace lastwright {

namespace {

class BottomFinder {
 public:
  BottomFinder(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which)
      : pieces_(pieces), which_(which) {}

  std::optional<DraftForme> run() {
    if (!choose()) return std::nullopt;
    forme_.kind = DraftKind::kBottom;
    forme_.pieces = which_;
    forme_.main = static_cast<std::size_t>(sole_ - pieces_.data());
    stand();
    find_joints();
    find_seat();
    return forme_;
  }

 private:
  // What is called an insole, else the smallest sole: outsoles go round it.
  bool choose() {
    for (const bool named : {true, false}) {
      for (const std::size_t i : which_) {
        if ((named && !pieces_[i].words.insole) || !sole_shaped(pieces_[i])) continue;
        if (sole_ != nullptr && sole_->area <= pieces_[i].area) continue;
        sole_ = &pieces_[i];
      }
      if (sole_ != nullptr) return true;
    }
    return false;
  }

  // The widest is nearer to the toe.
  void stand() {
    const FarPair far = farthest_points(sole_->polygon);
    longest_ = far.distance;
    forme_.frame = {far.a, unit(far.b - far.a), left_of(unit(far.b - far.a))};
    double widest = 0.0;
    double at = 0.0;
    for (int i = 5; i <= 95; ++i) {
      const double x = 0.01 * i * far.distance;
      const double wide = width_at(x);
      if (wide <= widest) continue;
      widest = wide;
      at = x;
    }
    Vec2 heel = far.a;
    Vec2 toe = far.b;
    if (at < 0.5 * far.distance) std::swap(heel, toe);
    heel = at_joint(heel, 0.03 * far.distance);
    toe = at_joint(toe, 0.03 * far.distance);
    forme_.frame = {heel, unit(toe - heel), left_of(unit(toe - heel))};
    forme_.length = distance(heel, toe);
    forme_.points = {{"heel", heel}, {"toe", toe}};
  }

  [[nodiscard]] std::vector<double> crossings(double x) const {
    const auto index = static_cast<std::size_t>(sole_ - pieces_.data());
    return heights_at(pieces_, {index}, forme_.frame, x);
  }
  [[nodiscard]] double width_at(double x) const {
    const std::vector<double> heights = crossings(x);
    return heights.size() < 2 ? 0.0 : heights.back() - heights.front();
  }

  // A joint of the outline's curves as near as that, where the
  // drawing has one: people put it on the heel and the toe. Between chords, or the arcs that chords were
  // faired to, joints stand anywhere, and the place stays: but for one so near that no corner could be beside
  // it.
  [[nodiscard]] Vec2 at_joint(Vec2 place, double within) const {
    constexpr double kLongCurve = 0.08;  // of the length: no chord, and no arc of many
    const std::vector<Curve>& curves = sole_->outline.curves();
    const double least = kLongCurve * longest_;
    Vec2 best = place;
    double nearest_off = within;
    for (std::size_t i = 0; i < curves.size(); ++i) {
      const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
      const double off = distance(start_of(curves[i]), place);
      const bool drawn = sole_->faired == 0.0 && std::min(length(before), length(curves[i])) > least;
      if (off > (drawn ? nearest_off : std::min(nearest_off, tolerance::kCornerSnap.value()))) continue;
      nearest_off = off;
      best = start_of(curves[i]);
    }
    return best;
  }

  // Farthest out on one side of the forepart, in the frame: in the middle of what lies nearly as far out, for
  // which of many short curves lies farthest on a flat bend is chance.
  [[nodiscard]] std::optional<Vec2> farthest_out(double side) const {
    constexpr double kNearly = 0.2;  // mm
    const double from = 0.5 * forme_.length;
    const double to = 0.88 * forme_.length;
    std::vector<Vec2> round;
    for (const Vec2 p : sole_->polygon) {
      const Vec2 q = forme_.frame.in(p);
      round.push_back({q.x, side * q.y});
    }
    const auto in_part = [&](Vec2 q) { return q.x >= from && q.x <= to; };
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < round.size(); ++i) {
      if (in_part(round[i]) && (!best || round[i].y > round[*best].y)) best = i;
    }
    if (!best) return std::nullopt;
    const double level = round[*best].y - kNearly;
    // Where it comes down to that level, or leaves the forepart.
    const auto end = [&](std::size_t step) {
      Vec2 last = round[*best];
      for (std::size_t i = 0; i < round.size(); ++i) {
        const Vec2 next = round[(*best + (i + 1) * step) % round.size()];
        if (next.y < level) return lerp(last, next, (last.y - level) / (last.y - next.y)).x;
        if (!in_part(next)) return last.x;
        last = next;
      }
      return last.x;
    };
    const double x = std::clamp(0.5 * (end(1) + end(round.size() - 1)), from, to);
    const std::vector<double> heights = crossings(x);
    if (heights.size() < 2) return Vec2{round[*best].x, side * round[*best].y};
    return Vec2{x, side > 0.0 ? heights.back() : heights.front()};
  }

  // The farthest out on either side of the forepart. The
  // inside joint lies farther forward than the outside one.
  void find_joints() {
    const std::optional<Vec2> low = farthest_out(-1.0);
    const std::optional<Vec2> high = farthest_out(1.0);
    if (!low || !high) return;
    const auto settled = [&](Vec2 q) { return at_joint(forme_.frame.out(q), 0.02 * forme_.length); };
    Vec2 inside = settled(*low);
    Vec2 outside = settled(*high);
    // Up is the outside.
    if (forme_.frame.in(outside).x > forme_.frame.in(inside).x) {
      std::swap(inside, outside);
      forme_.frame.up = -forme_.frame.up;
    }
    forme_.points["inside joint"] = inside;
    forme_.points["outside joint"] = outside;
  }

  // Where the heel part is widest, else a sixth of the length from its end.
  void find_seat() {
    double at = forme_.length / 6.0;
    double widest = 0.0;
    int where = 0;
    for (int i = 8; i <= 28; ++i) {
      const double wide = width_at(0.01 * i * forme_.length);
      if (wide <= widest) continue;
      widest = wide;
      where = i;
    }
    if (where < 28) at = 0.01 * where * forme_.length;
    const std::vector<double> heights = crossings(at);
    if (heights.size() < 2) return;
    forme_.points["inside seat"] = forme_.frame.out({at, heights.front()});
    forme_.points["outside seat"] = forme_.frame.out({at, heights.back()});
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<std::size_t>& which_;
  const DraftPiece* sole_ = nullptr;
  double longest_ = 0.0;  // mm, from end to end of it
  DraftForme forme_;
};

}  // namespace

std::optional<DraftForme> standing_bottom(const std::vector<DraftPiece>& pieces,
                                          const std::vector<std::size_t>& which) {
  return BottomFinder(pieces, which).run();
}

}  // namespace lastwright
