#include "grading/planning/hide_holes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "geometry/fill/fill_shape.hpp"
#include "geometry/lattice/convex_parts.hpp"

namespace lastwright {

namespace {

constexpr double kNoArea = 1e-9;  // mm^2
constexpr std::size_t kMostParts = 4000;

// Or touch: an edge between two holes is none.
bool boxes_meet(const Box2& a, const Box2& b) {
  return a.high.x >= b.low.x && b.high.x >= a.low.x && a.high.y >= b.low.y && b.high.y >= a.low.y;
}

// The part of a convex polygon on the left of a line, or on its right.
Polygon on_side(const Polygon& polygon, Vec2 from, Vec2 along, bool left) {
  Polygon kept;
  const auto off = [&](Vec2 p) { return (left ? 1.0 : -1.0) * cross(along, p - from); };
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 p = polygon[i];
    const Vec2 q = polygon[(i + 1) % polygon.size()];
    const double here = off(p);
    const double there = off(q);
    if (here >= 0.0) kept.push_back(p);
    if ((here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0))
      kept.push_back(p + here / (here - there) * (q - p));
  }
  return kept;
}

// What of a convex polygon lies outside another, in convex parts.
void outside_of(Polygon polygon, const Polygon& other, std::vector<Polygon>& parts) {
  for (std::size_t i = 0; i < other.size(); ++i) {
    const Vec2 along = other[(i + 1) % other.size()] - other[i];
    Polygon out = on_side(polygon, other[i], along, false);
    if (signed_area(out) > kNoArea) parts.push_back(std::move(out));
    polygon = on_side(polygon, other[i], along, true);
    if (signed_area(polygon) <= kNoArea) return;
  }
}

// Part of a line, as shares of it.
struct LineShare {
  double first = 0.0;
  double last = 1.0;
};

// Where a line runs within a convex polygon. Along an edge that goes its way it does so where `along_too`,
// along one that goes the other way always.
LineShare within(const Polygon& part, Vec2 from, Vec2 line, bool along_too) {
  LineShare share;
  for (std::size_t k = 0; k < part.size() && share.first < share.last; ++k) {
    const Vec2 side = part[(k + 1) % part.size()] - part[k];
    const double inside = cross(side, from - part[k]);  // at the start, and how it grows
    const double grows = cross(side, line);
    const double rounding = 1e-9 * norm(side);
    if (std::abs(grows) <= rounding * norm(line)) {
      if (std::abs(inside) <= rounding && (along_too || dot(side, line) < 0.0)) continue;
      if (inside <= rounding) share.last = share.first;
    } else if (grows > 0.0) {
      share.first = std::max(share.first, -inside / grows);
    } else {
      share.last = std::min(share.last, -inside / grows);
    }
  }
  return share;
}

// How much of the line is in the first and in none of the others.
double length_left(double length, std::vector<LineShare> in, std::vector<LineShare> out) {
  std::vector<double> cuts;
  for (const auto* list : {&in, &out}) {
    for (const LineShare& one : *list) cuts.insert(cuts.end(), {one.first, one.last});
  }
  std::sort(cuts.begin(), cuts.end());
  const auto held = [](const std::vector<LineShare>& list, double at) {
    return std::any_of(list.begin(), list.end(),
                       [&](const LineShare& one) { return one.first < at && at < one.last; });
  };
  double sum = 0.0;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    const double middle = 0.5 * (cuts[i] + cuts[i + 1]);
    if (held(in, middle) && !held(out, middle)) sum += cuts[i + 1] - cuts[i];
  }
  return sum * length;
}

struct HoleParts {
  std::vector<Polygon> parts;
  bool within = false;  // the hide's edge
};

class TogetherMaker {
 public:
  TogetherMaker(const Polygon& hide, std::vector<Polygon> hide_parts, const std::vector<Polygon>& holes,
                std::vector<HoleParts> parts)
      : hide_(hide), hide_parts_(std::move(hide_parts)), holes_(holes), parts_(std::move(parts)) {}

  std::optional<HolesTogether> make() {
    HolesTogether together;
    std::vector<Box2> boxes;
    for (const Polygon& hole : holes_) boxes.push_back(bounds(hole));
    std::vector<std::vector<Polygon>> apart(holes_.size());  // of each what is in none before it
    std::vector<std::size_t> group(holes_.size());
    std::iota(group.begin(), group.end(), std::size_t{0});
    std::size_t made = 0;
    for (std::size_t i = 0; i < holes_.size(); ++i) {
      apart[i] = parts_[i].parts;
      for (std::size_t k = 0; k < i; ++k) {
        if (!boxes_meet(boxes[i], boxes[k])) continue;
        meets_.emplace_back(i, k);
        if (meets_.size() > kMostMeets) return {};
        if (shared_area(parts_[i].parts, parts_[k].parts) <= kNoArea) continue;
        std::replace(group.begin(), group.end(), std::size_t{group[i]}, std::size_t{group[k]});
        std::vector<Polygon> left = std::move(apart[i]);
        for (const Polygon& other : apart[k]) {
          std::vector<Polygon> next;
          for (Polygon& one : left) outside_of(std::move(one), other, next);
          left = std::move(next);
        }
        made += left.size();
        if (made > kMostParts) return {};
        apart[i] = std::move(left);
      }
    }
    for (const std::vector<Polygon>& parts : apart) together.area += shared_area(hide_parts_, parts);
    together.bounded_by = edge_left() + holes_left();
    std::map<std::size_t, bool> inside;  // by group
    for (std::size_t i = 0; i < holes_.size(); ++i) {
      bool& all = inside.emplace(group[i], true).first->second;
      all = all && parts_[i].within;
    }
    for (const auto& [first, all] : inside) together.within += all ? 1 : 0;
    return together;
  }

 private:
  [[nodiscard]] double edge_left() const {
    double sum = 0.0;
    for (std::size_t e = 0; e < hide_.size(); ++e) {
      const Vec2 from = hide_[e];
      const Vec2 line = hide_[(e + 1) % hide_.size()] - from;
      std::vector<LineShare> out;
      for (const HoleParts& hole : parts_) add_within(hole.parts, from, line, true, out);
      sum += length_left(norm(line), {{0.0, 1.0}}, std::move(out));
    }
    return sum;
  }

  // Of an edge that two holes share the first has it; one between them is none.
  [[nodiscard]] double holes_left() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < holes_.size(); ++i) {
      for (std::size_t e = 0; e < holes_[i].size(); ++e) {
        const Vec2 from = holes_[i][e];
        const Vec2 line = holes_[i][(e + 1) % holes_[i].size()] - from;
        std::vector<LineShare> in;
        std::vector<LineShare> out;
        add_within(hide_parts_, from, line, false, in);
        for (const auto& [one, other] : meets_) {
          if (one == i) add_within(parts_[other].parts, from, line, true, out);
          if (other == i) add_within(parts_[one].parts, from, line, false, out);
        }
        sum += length_left(norm(line), std::move(in), std::move(out));
      }
    }
    return sum;
  }

  static void add_within(const std::vector<Polygon>& parts, Vec2 from, Vec2 line, bool along_too,
                         std::vector<LineShare>& shares) {
    for (const Polygon& part : parts) {
      const LineShare share = within(part, from, line, along_too);
      if (share.first < share.last) shares.push_back(share);
    }
  }

  static constexpr std::size_t kMostMeets = 20000;

  const Polygon& hide_;
  std::vector<Polygon> hide_parts_;
  const std::vector<Polygon>& holes_;
  std::vector<HoleParts> parts_;
  std::vector<std::pair<std::size_t, std::size_t>> meets_;
};

}  // namespace

Result<std::optional<HolesTogether>> holes_together(const Polygon& hide, const std::vector<Polygon>& holes) {
  Result<std::vector<Polygon>> whole = convex_parts(hide);
  if (!whole) return whole.problem();
  std::vector<HoleParts> parts;
  for (const Polygon& hole : holes) {
    Result<std::vector<Polygon>> some = convex_parts(hole);
    if (!some) return some.problem();
    const bool inside = shared_area(*whole, *some) > (1.0 - 1e-9) * signed_area(hole);
    parts.push_back({*std::move(some), inside});
  }
  return TogetherMaker(hide, *std::move(whole), holes, std::move(parts)).make();
}

}  // namespace lastwright
