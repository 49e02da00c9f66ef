#include "geometry/io/dxf/drawn_twice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "geometry/curve/spline.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

constexpr double kSame = tolerance::kSamePoint.value();
constexpr std::size_t kMostAlike = 8;  // compared with: more that only look alike come from nobody's hand

bool same(Vec2 a, Vec2 b) {
  return distance(a, b) <= kSame;
}

bool same(const Curve& a, const Curve& b) {
  if (a.index() != b.index() || !same(start_of(a), start_of(b)) || !same(end_of(a), end_of(b))) return false;
  if (const auto* arc = std::get_if<Arc>(&a)) {
    return same(arc->segment().point_at(0.5), std::get<Arc>(b).segment().point_at(0.5));
  }
  if (const auto* one = std::get_if<Spline>(&a)) {
    const Spline& other = std::get<Spline>(b);
    constexpr double kSameKnot = 1e-9;  // of a knot: exports write 10 digits and more
    const auto near = [](double x, double y) { return std::abs(x - y) <= kSameKnot * (1.0 + std::abs(x)); };
    return one->degree() == other.degree() && one->poles().size() == other.poles().size() &&
           one->weights().size() == other.weights().size() &&
           std::equal(one->poles().begin(), one->poles().end(), other.poles().begin(),
                      [](Vec2 p, Vec2 q) { return same(p, q); }) &&
           std::equal(one->knots().begin(), one->knots().end(), other.knots().begin(), near) &&
           std::equal(one->weights().begin(), one->weights().end(), other.weights().begin(), near);
  }
  return true;
}

bool same(const DrawnPath& a, const DrawnPath& b) {
  if (a.curves.size() != b.curves.size() || a.closed != b.closed) return false;
  const std::size_t n = a.curves.size();
  bool forwards = true;
  bool backwards = true;
  for (std::size_t i = 0; i < n && (forwards || backwards); ++i) {
    forwards = forwards && same(a.curves[i], b.curves[i]);
    backwards = backwards && same(a.curves[i], reversed(b.curves[n - 1 - i]));
  }
  return forwards || backwards;
}

bool same(const DrawnCircle& a, const DrawnCircle& b) {
  return same(a.centre, b.centre) && std::abs(a.radius - b.radius) <= kSame;
}
bool same(const DrawnPoint& a, const DrawnPoint& b) {
  return same(a.at, b.at);
}

bool same(const DrawnText& a, const DrawnText& b) {
  return same(a.at, b.at) && a.text == b.text && std::abs(a.height - b.height) <= kSame &&
         std::abs(a.angle.value() - b.angle.value()) <= 1e-6;
}

// Where a thing is, whichever way round it is drawn, on
// a grid a thousand times coarser than what is the same.
Vec2 where(const DrawnPath& path) {
  if (path.curves.empty()) return {};
  return 0.5 * (start_of(path.curves.front()) + end_of(path.curves.back())) +
         (1.0 / static_cast<double>(path.curves.size() + 1)) *
             bounds(path.curves[path.curves.size() / 2]).centre();
}
Vec2 where(const DrawnCircle& circle) {
  return circle.centre;
}
Vec2 where(const DrawnPoint& point) {
  return point.at;
}

Vec2 where(const DrawnText& text) {
  return text.at;
}

template <class Thing>
void leave_out_doubles(std::vector<Thing>& things, std::vector<LeftOut>& left_out) {
  using Cell = std::tuple<std::size_t, std::string, std::int64_t, std::int64_t>;
  std::map<Cell, std::vector<std::size_t>> cells;  // kept things by place, at their new index
  std::size_t kept = 0;
  for (Thing& thing : things) {
    const Vec2 at = where(thing);
    const auto grid = [](double x) { return static_cast<std::int64_t>(std::llround(x / (1000.0 * kSame))); };
    const std::size_t* twin = nullptr;
    for (const std::int64_t dx : {0, -1, 1}) {
      for (const std::int64_t dy : {0, -1, 1}) {
        if (twin != nullptr) break;
        const auto cell = cells.find({thing.from.insert, thing.from.layer, grid(at.x) + dx, grid(at.y) + dy});
        if (cell == cells.end()) continue;
        for (std::size_t k = 0; k < cell->second.size() && k < kMostAlike && twin == nullptr; ++k) {
          if (same(things[cell->second[k]], thing) && things[cell->second[k]].from.block == thing.from.block)
            twin = &cell->second[k];
        }
      }
    }
    if (twin != nullptr) {
      const DrawnFrom& first = things[*twin].from;
      left_out.push_back({thing.from, fmt::format("{}: it lies on the {} of line {}", kDrawnTwice,
                                                  first.entity, first.line)});
      continue;
    }
    cells[{thing.from.insert, thing.from.layer, grid(at.x), grid(at.y)}].push_back(kept);
    if (&things[kept] != &thing) things[kept] = std::move(thing);
    ++kept;
  }
  things.erase(things.begin() + static_cast<std::ptrdiff_t>(kept), things.end());
}

}  // namespace

void leave_out_doubles(Drawing& drawing) {
  leave_out_doubles(drawing.paths, drawing.left_out);
  leave_out_doubles(drawing.circles, drawing.left_out);
  leave_out_doubles(drawing.points, drawing.left_out);
  leave_out_doubles(drawing.texts, drawing.left_out);
}

}  // namespace lastwright
