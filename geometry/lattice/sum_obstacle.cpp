#include "geometry/lattice/sum_obstacle.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/lattice/convex_parts.hpp"

namespace lastwright {

namespace {

bool inside(const Polygon& inner, const Polygon& outer) {
  for (std::size_t i = 0; i < outer.size(); ++i) {
    const Vec2 from = outer[i];
    const Vec2 along = outer[(i + 1) % outer.size()] - from;
    for (const Vec2 p : inner) {
      if (cross(along, p - from) < 0.0) return false;
    }
  }
  return true;
}

}  // namespace

SumObstacle::SumObstacle(const std::vector<Polygon>& parts, const std::vector<Polygon>& others) {
  std::vector<std::pair<double, Polygon>> sums;
  for (const Polygon& other : others) {
    const Polygon turned = half_turned(other);
    for (const Polygon& part : parts) {
      Polygon sum = convex_sum(part, turned);
      const double area = signed_area(sum);
      sums.emplace_back(-area, std::move(sum));
    }
  }
  std::stable_sort(sums.begin(), sums.end(),
                   [](const auto& one, const auto& other) { return one.first < other.first; });
  // What lies inside one of the large ones adds nothing.
  constexpr std::size_t kLarge = 12;
  for (auto& [area, sum] : sums) {
    const Box2 box = bounds(sum);
    bool covered = false;
    for (std::size_t k = 0; !covered && k < std::min(kLarge, polygons_.size()); ++k) {
      const Box2& large = boxes_[k];
      covered = box.low.x >= large.low.x && box.low.y >= large.low.y && box.high.x <= large.high.x &&
                box.high.y <= large.high.y && inside(sum, polygons_[k]);
    }
    if (!covered) add(std::move(sum));
  }
  const Vec2 middle = box_.centre();
  for (const Polygon& polygon : polygons_) {
    for (const Vec2 p : polygon) radius_ = std::max(radius_, distance(p, middle));
  }
}

SumObstacle SumObstacle::mirror_image() const {
  SumObstacle image;
  for (const Polygon& polygon : polygons_) image.add(mirrored(polygon));
  image.radius_ = radius_;
  return image;
}

void SumObstacle::add(Polygon polygon) {
  const std::size_t first = planes_.size();
  Box2 box;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 from = polygon[i];
    const Vec2 normal = -left_of(unit(polygon[(i + 1) % polygon.size()] - from));
    planes_.push_back({normal, dot(normal, from)});
    box.add(from);
  }
  edges_.push_back({first, planes_.size()});
  boxes_.push_back(box);
  box_.add(box);
  polygons_.push_back(std::move(polygon));
}

Separation SumObstacle::separation(std::size_t polygon, Vec2 v) const {
  Separation best{{}, -1e300};
  for (std::size_t k = edges_[polygon].first; k < edges_[polygon].last; ++k) {
    const double apart = dot(planes_[k].normal, v) - planes_[k].height;
    if (apart > best.apart) best = {planes_[k].normal, apart};
  }
  return best;
}

void SumObstacle::near(Vec2 v, double reach, std::vector<Separation>& found) const {
  for (std::size_t k = 0; k < boxes_.size(); ++k) {
    const Box2& box = boxes_[k];
    if (v.x < box.low.x - reach || v.x > box.high.x + reach || v.y < box.low.y - reach ||
        v.y > box.high.y + reach)
      continue;
    const Separation separation = this->separation(k, v);
    if (separation.apart < reach) found.push_back(separation);
  }
}

double SumObstacle::depth(Vec2 v) const {
  return depth(v, 1e300);
}

double SumObstacle::depth(Vec2 v, double enough) const {
  double deepest = 0.0;
  for (std::size_t k = 0; k < boxes_.size(); ++k) {
    const Box2& box = boxes_[k];
    if (v.x <= box.low.x || v.x >= box.high.x || v.y <= box.low.y || v.y >= box.high.y) continue;
    deepest = std::max(deepest, -separation(k, v).apart);
    if (deepest >= enough) break;
  }
  return deepest;
}

}  // namespace lastwright
