#include "grading/draft/standing_bottom.hpp"

#include <algorithm>
#include <cmath>

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
  // drawing has one: people put it on the heel and the toe.
  [[nodiscard]] Vec2 at_joint(Vec2 place, double within) const {
    Vec2 best = place;
    double nearest_off = within;
    for (const Curve& curve : sole_->outline.curves()) {
      const double off = distance(start_of(curve), place);
      if (off > nearest_off) continue;
      nearest_off = off;
      best = start_of(curve);
    }
    return best;
  }

  // The farthest out on either side of the forepart. The
  // inside joint lies farther forward than the outside one.
  void find_joints() {
    Vec2 high{0.0, -INFINITY};
    Vec2 low{0.0, INFINITY};
    for (const Vec2 p : sole_->polygon) {
      const Vec2 q = forme_.frame.in(p);
      if (q.x < 0.5 * forme_.length || q.x > 0.88 * forme_.length) continue;
      if (q.y > high.y) high = q;
      if (q.y < low.y) low = q;
    }
    if (!std::isfinite(high.y) || !std::isfinite(low.y)) return;
    const auto settled = [&](Vec2 q) { return at_joint(forme_.frame.out(q), 0.02 * forme_.length); };
    Vec2 inside = settled(low);
    Vec2 outside = settled(high);
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
  DraftForme forme_;
};

}  // namespace

std::optional<DraftForme> standing_bottom(const std::vector<DraftPiece>& pieces,
                                          const std::vector<std::size_t>& which) {
  return BottomFinder(pieces, which).run();
}

}  // namespace lastwright
