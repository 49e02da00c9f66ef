#include "grading/pieces/drawing/outline_group.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kReach = tolerance::kCornerSnap.value();  // as far as a corner may lie off an outline
constexpr std::size_t kMostOthers = 3;
constexpr std::size_t kMostSide = 64;
constexpr std::size_t kManyCells = 64;

}  // namespace

OutlineShape::OutlineShape(const PatternContour& contour) : contour_(&contour), polygon_(contour.polygon) {
  for (const Curve& curve : contour.contour.raw.curves) near_.push_back(bounds(curve).grown(kReach));
}

bool OutlineShape::near_edge(Vec2 p) const {
  const Box2 here{p, p};
  if (!contour_->box.grown(kReach).overlaps(here)) return false;
  for (std::size_t i = 0; i < near_.size(); ++i) {
    if (near_[i].overlaps(here) && nearest(contour_->contour.raw.curves[i], p).distance <= kReach)
      return true;
  }
  return false;
}

OutlineGroup::OutlineGroup(std::vector<Member> members) : members_(std::move(members)) {
  std::stable_sort(members_.begin(), members_.end(),
                   [](const Member& a, const Member& b) { return a.shape->area() < b.shape->area(); });
  for (const Member& member : members_) box_.add(member.shape->box().grown(kReach));
  side_ = std::clamp<std::size_t>(static_cast<std::size_t>(std::sqrt(static_cast<double>(members_.size()))),
                                  1, kMostSide);
  cells_.resize(side_ * side_);
  for (std::size_t i = 0; i < members_.size(); ++i) {
    const Box2 box = members_[i].shape->box().grown(kReach);
    const std::size_t low = cell_of(box.low);
    const std::size_t high = cell_of(box.high);
    const std::size_t across = high % side_ - low % side_ + 1;
    const std::size_t up = high / side_ - low / side_ + 1;
    if (across * up > kManyCells) {
      wide_.push_back(i);
      continue;
    }
    for (std::size_t y = 0; y < up; ++y) {
      for (std::size_t x = 0; x < across; ++x) cells_[low + y * side_ + x].push_back(i);
    }
  }
}

std::size_t OutlineGroup::cell_of(Vec2 p) const {
  const auto part = [&](double at, double low, double extent) {
    const double share = extent > 0.0 ? (at - low) / extent * static_cast<double>(side_) : 0.0;
    return share > 0.0 ? std::min(side_ - 1, static_cast<std::size_t>(share)) : 0;
  };
  return part(p.y, box_.low.y, box_.height()) * side_ + part(p.x, box_.low.x, box_.width());
}

void OutlineGroup::around(Vec2 p, const std::function<bool(std::size_t)>& visit) const {
  if (members_.empty() || !box_.overlaps({p, p})) return;
  const std::vector<std::size_t>& cell = cells_[cell_of(p)];
  auto a = cell.begin();
  auto b = wide_.begin();
  while (a != cell.end() || b != wide_.end()) {
    const bool from_cell = b == wide_.end() || (a != cell.end() && *a < *b);
    const std::size_t i = from_cell ? *a++ : *b++;
    if (members_[i].shape->box().grown(kReach).overlaps({p, p}) && visit(i)) return;
  }
}

Owner OutlineGroup::smallest_with(std::span<const Vec2> points,
                                  const std::function<bool(const OutlineShape&, Vec2)>& test,
                                  Wanted wanted) const {
  std::vector<std::size_t> found;
  const auto enough = [&] { return found.size() > kMostOthers; };
  if (wanted == kEvery) {
    if (points.empty()) return {};
    around(points.front(), [&](std::size_t i) {
      if (std::all_of(points.begin(), points.end(), [&](Vec2 p) { return test(*members_[i].shape, p); }))
        found.push_back(i);
      return enough();
    });
  } else {
    for (const Vec2 p : points) {
      std::size_t here = 0;
      around(p, [&](std::size_t i) {
        if (test(*members_[i].shape, p)) {
          found.push_back(i);
          ++here;
        }
        return here > kMostOthers;
      });
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
  }
  if (found.empty()) return {};
  Owner owner{members_[found.front()].contour, {}};
  for (std::size_t k = 1; k < found.size() && k <= kMostOthers; ++k)
    owner.others.push_back(members_[found[k]].contour);
  return owner;
}

std::vector<std::size_t> OutlineGroup::inner() const {
  std::vector<std::size_t> found;
  for (const Member& member : members_) {
    const std::vector<Vec2>& polygon = member.shape->polygon();
    if (polygon.empty()) continue;
    bool inside = false;
    around(polygon.front(), [&](std::size_t i) {
      const OutlineShape& other = *members_[i].shape;
      inside = other.area() > member.shape->area() &&
               std::all_of(polygon.begin(), polygon.end(), [&](Vec2 p) { return other.inside(p); });
      return inside;
    });
    if (inside) found.push_back(member.contour);
  }
  return found;
}

}  // namespace lastwright
