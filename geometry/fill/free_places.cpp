#include "geometry/fill/free_places.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/lattice/small_program.hpp"

namespace lastwright {

namespace {

constexpr double kOnEdge = 1e-9;   // mm; touching is free
constexpr double kSettled = 1e-5;  // mm; a slide that gains less has come to its end
constexpr int kMostSlides = 60;

}  // namespace

FreePlaces::FreePlaces(TurnedShape shape, const FillRegion& region, std::size_t cells,
                       const std::optional<Box2>& only)
    : shape_(std::move(shape)), only_(only) {
  const Polygon& hull = region.hull;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 along = hull[(i + 1) % hull.size()] - hull[i];
    const Vec2 normal = -left_of(unit(along));
    double reach = -1e300;
    for (const Vec2 p : shape_.hull) reach = std::max(reach, dot(normal, p));
    walls_.push_back({normal, dot(normal, hull[i]) - reach});
  }
  const Box2 box = bounds(hull);
  const Box2 own = bounds(shape_.hull);
  low_ = box.low - own.low;
  const double wide = box.width() - own.width();
  const double high = box.height() - own.height();
  if (wide < -kOnEdge || high < -kOnEdge) return;  // no place at all
  step_ = std::max(std::sqrt(std::max(wide, 1e-3) * std::max(high, 1e-3) / static_cast<double>(cells)),
                   std::max(wide, high) / static_cast<double>(cells));
  columns_ = static_cast<std::size_t>(std::max(0.0, wide) / step_) + 1;
  rows_ = static_cast<std::size_t>(std::max(0.0, high) / step_) + 1;
  taken_.assign(columns_ * rows_, 0);
  for (std::size_t c = 0; c < columns_; ++c) {
    for (std::size_t r = 0; r < rows_; ++r) {
      const Vec2 p = point(c, r);
      if (only_ && !only_->overlaps({p, p})) continue;
      const bool out = std::any_of(walls_.begin(), walls_.end(), [&](const Wall& wall) {
        return dot(wall.normal, p) > wall.height + kOnEdge;
      });
      if (out) taken_[c * rows_ + r] = 1;
    }
  }
  if (!region.pockets.empty()) forbid(region.pockets);
}

void FreePlaces::forbid(const std::vector<Polygon>& parts) {
  if (taken_.empty()) return;
  if (only_) {
    // A slide from a place in the box looks no farther than that round it.
    Box2 there;
    for (const Polygon& part : parts) there.add(bounds(part));
    const Box2 own = bounds(shape_.hull);
    if (!only_->grown(2.0 * step_ + kSettled).overlaps({there.low - own.high, there.high - own.low})) return;
  }
  obstacles_.emplace_back(parts, shape_.parts);
  for (const Polygon& polygon : obstacles_.back().polygons()) draw(polygon);
}

// Marks the points strictly inside, column by column.
void FreePlaces::draw(const Polygon& forbidden) {
  const Box2 box = bounds(forbidden);
  const auto from = static_cast<std::ptrdiff_t>(std::ceil((box.low.x - low_.x) / step_));
  const auto to = static_cast<std::ptrdiff_t>(std::floor((box.high.x - low_.x) / step_));
  for (std::ptrdiff_t c = std::max<std::ptrdiff_t>(0, from);
       c <= to && c < static_cast<std::ptrdiff_t>(columns_); ++c) {
    const double x = low_.x + static_cast<double>(c) * step_;
    double least = 1e300;
    double most = -1e300;
    for (std::size_t i = 0; i < forbidden.size(); ++i) {
      const Vec2 a = forbidden[i];
      const Vec2 b = forbidden[(i + 1) % forbidden.size()];
      if ((a.x < x && b.x < x) || (a.x > x && b.x > x) || a.x == b.x) continue;
      const double y = a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y);
      least = std::min(least, y);
      most = std::max(most, y);
    }
    if (!(box.low.x + kOnEdge < x && x < box.high.x - kOnEdge)) continue;
    const auto first = static_cast<std::ptrdiff_t>(std::floor((least + kOnEdge - low_.y) / step_)) + 1;
    const auto last = static_cast<std::ptrdiff_t>(std::ceil((most - kOnEdge - low_.y) / step_)) - 1;
    const std::ptrdiff_t begin = std::max<std::ptrdiff_t>(0, first);
    const std::ptrdiff_t end = std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(rows_) - 1, last);
    if (end < begin) continue;
    const auto column = taken_.begin() + c * static_cast<std::ptrdiff_t>(rows_);
    std::fill(column + begin, column + end + 1, std::uint8_t{1});
  }
}

double FreePlaces::depth(Vec2 place) const {
  double deepest = 0.0;
  for (const Wall& wall : walls_) deepest = std::max(deepest, dot(wall.normal, place) - wall.height);
  for (const SumObstacle& obstacle : obstacles_) deepest = std::max(deepest, obstacle.depth(place));
  return deepest;
}

// Rounds of linear programs within a small box: each obstacle keeps to the half plane of the edge the place
// is at, so no round makes an overlap.
Vec2 FreePlaces::slid(Vec2 from, Vec2 along, Vec2 then, const PlaceSearch& search) const {
  constexpr double kSecond = 1e-3;  // weight of the second direction beside the first
  const Vec2 gain = along + kSecond * then;
  Vec2 now = from;
  double reach = step_;
  std::vector<Separation> near;
  for (int round = 0; round < kMostSlides; ++round) {
    near.clear();
    for (const SumObstacle& obstacle : obstacles_) {
      const Box2& box = obstacle.box();
      if (now.x < box.low.x - 2.0 * reach || now.x > box.high.x + 2.0 * reach ||
          now.y < box.low.y - 2.0 * reach || now.y > box.high.y + 2.0 * reach)
        continue;
      obstacle.near(now, 2.0 * reach, near);
    }
    for (const Wall& wall : walls_) {
      const double left = wall.height - dot(wall.normal, now);
      if (left < 2.0 * reach) near.push_back({-wall.normal, left});
    }
    SmallProgram program(4);
    const double towards[4] = {gain.x, gain.y, -gain.x, -gain.y};
    for (std::size_t k = 0; k < 4; ++k) {
      program.maximise(k, towards[k]);
      program.add_row(reach)[k] = 1.0;
    }
    for (const Separation& one : near) {
      double* row = program.add_row(std::max(0.0, one.apart));
      row[0] = -one.normal.x;
      row[1] = -one.normal.y;
      row[2] = one.normal.x;
      row[3] = one.normal.y;
    }
    const std::vector<double> x = program.solve();
    const Vec2 next = now + Vec2{x[0] - x[2], x[1] - x[3]};
    const double gained = dot(gain, next - now);
    const bool refused = (search.allowed && !search.allowed(next)) ||
                         (search.within && (next.x < search.within->low.x || next.x > search.within->high.x ||
                                            next.y < search.within->low.y || next.y > search.within->high.y));
    if (refused || gained < kSettled) {
      if (reach < 1e-3) break;
      reach *= 0.25;
      continue;
    }
    now = next;
  }
  return now;
}

std::optional<Vec2> FreePlaces::leftmost(const PlaceSearch& search) const {
  if (taken_.empty()) return {};
  const bool bounded = search.within || search.allowed;
  std::size_t from = 0;
  std::size_t to = columns_;
  if (search.within) {
    from = static_cast<std::size_t>(std::max(0.0, std::ceil((search.within->low.x - low_.x) / step_)));
    const double last = std::floor((search.within->high.x - low_.x) / step_);
    if (last < 0.0) return {};
    to = std::min(columns_, static_cast<std::size_t>(last) + 1);
  }
  for (std::size_t c = from; c < to; ++c) {
    for (std::size_t r = 0; r < rows_; ++r) {
      if (taken_[c * rows_ + r] != 0) continue;
      const Vec2 p = point(c, r);
      if (bounded && search.within && (p.y < search.within->low.y || p.y > search.within->high.y)) continue;
      if (search.allowed && !search.allowed(p)) continue;
      const Vec2 place = slid(p, {-1.0, 0.0}, {0.0, -1.0}, search);
      return slid(place, {-1e-3, -1.0}, {-1.0, 0.0}, search);
    }
  }
  return {};
}

}  // namespace lastwright
