#include "geometry/lattice/lattice_seeds.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/lattice/depth_grid.hpp"

namespace lastwright {

namespace {

struct Seed {
  double score = 0.0;      // the area, and what it would cost to take the overlap out
  std::size_t number = 0;  // as they were found
  Lattice lattice;
};

class Seeds {
 public:
  Seeds(const LatticeRules& rules, const SeedOptions& options)
      : options_(options), same_(*rules.same, options.cells) {
    if (rules.other) other_.emplace(*rules.other, options.cells);
    if (rules.mixed) {
      mixed_.emplace(*rules.mixed, options.cells);
      middle_ = rules.mixed->box().centre();
    }
    spacing_ = std::max(same_.cell(), mixed_ ? mixed_->cell() : 0.0);
  }

  void of_one() {
    const std::vector<Vec2> points = same_.edge_points(3 * options_.edge_points);
    for (std::size_t i = 0; i < points.size(); ++i) {
      for (std::size_t k = i + 1; k < points.size(); ++k) {
        if (points[i].y < 0.0 || points[k].y < 0.0) continue;  // each and its opposite are one
        consider({points[i], points[k], {}});
      }
    }
  }

  void of_two() {
    const std::vector<Vec2> points = mixed_->edge_points(options_.edge_points);
    const std::size_t count = points.size();
    std::vector<double> depth(count * count);  // of one point as seen from another
    for (std::size_t i = 0; i < count; ++i) {
      for (std::size_t k = 0; k < count; ++k) depth[i * count + k] = same_.depth(points[k] - points[i]);
    }
    for (std::size_t i = 0; i < count; ++i) {
      for (std::size_t j = i + 1; j < count; ++j) {
        const Vec2 a = points[j] - points[i];
        const double first = depth[i * count + j];
        if (first > 3.0 * same_.cell()) continue;
        for (std::size_t k = j + 1; k < count; ++k) {
          const Vec2 b = points[k] - points[i];
          const double area = std::abs(cross(a, b));
          if (area < 0.97 * options_.least_area || area >= limit_) continue;
          // No basis of a lattice is shorter than twice the root of
          // its area, so taking out this overlap costs no less.
          const double deepest = std::max({first, depth[i * count + k], depth[j * count + k]});
          const double room = limit_ - area;
          if (4.0 * area * deepest * deepest >= room * room) continue;
          consider({a, b, points[i]});
        }
      }
    }
  }

  // Rows along x: of like shapes as close as they go, or of both by turns.
  void of_rows() {
    const double closest = level_distance();
    if (!mixed_) {
      for (const Vec2 b : same_.edge_points(3 * options_.edge_points)) {
        if (b.y > 0.0) consider({{closest, 0.0}, b, {}});
      }
      return;
    }
    const std::vector<Vec2> points = mixed_->edge_points(2 * options_.edge_points);
    for (const Vec2 one : points) {
      for (const Vec2 other : points) {
        if (other.y >= one.y) continue;
        consider({{closest, 0.0}, one - other, one});
      }
    }
    for (const Vec2 one : points) {
      for (const Vec2 other : points) {
        const Vec2 a = other - one;
        if (a.x <= 0.0 || std::abs(a.y) > 1.5 * mixed_->cell() || same_.depth({a.x, 0.0}) > same_.cell())
          continue;
        for (const Vec2 third : points) {
          if (third.y > one.y) consider({{a.x, 0.0}, third - one, one});
        }
      }
    }
  }

  std::vector<Lattice> best() {
    keep_best();
    std::sort(seeds_.begin(), seeds_.end(), before);
    std::vector<Lattice> kept;
    for (const Seed& seed : seeds_) {
      if (kept.size() == options_.most) break;
      const bool alike = std::any_of(kept.begin(), kept.end(),
                                     [&](const Lattice& lattice) { return like(lattice, seed.lattice); });
      if (!alike) kept.push_back(seed.lattice);
    }
    return kept;
  }

 private:
  // The overlap, as a length, costs about this much area for a millimetre: every vector grows by it.
  [[nodiscard]] static double price(const Lattice& lattice) { return norm(lattice.a) + norm(lattice.b); }

  // The least distance along x at which two like shapes lie beside each other.
  [[nodiscard]] double level_distance() const {
    double x = 0.0;
    for (double at = 0.0; at < 1e6 * spacing_; at += spacing_) {
      if (same_.depth({at, 0.0}) > 0.0) x = at + spacing_;
      if (at > x + 200.0 * spacing_) break;
    }
    return x;
  }

  void consider(const Lattice& found) {
    const double area = found.cell_area();
    if (area < 0.97 * options_.least_area || area >= limit_) return;
    const Lattice lattice = options_.level ? reduced_level(found) : reduced(found);
    if (square_of(lattice.a) < 1e-12) return;
    const double deepest = (limit_ - area) / price(lattice);
    double depth = 0.0;
    const auto deeper = [&](double by) {
      depth = std::max(depth, by);
      return depth < deepest;
    };
    static constexpr LatticeStep kSteps[] = {{1, 0}, {0, 1},  {1, 1}, {1, -1}, {2, 0}, {2, 1}, {2, -1},
                                             {1, 2}, {1, -2}, {0, 2}, {3, 0},  {3, 1}, {3, -1}};
    for (const LatticeStep& step : kSteps) {
      const Vec2 v = step.i * lattice.a + step.j * lattice.b;
      if (!deeper(same_.depth(v)) || (other_ && !deeper(other_->depth(v)))) return;
    }
    if (mixed_) {
      const double cell = cross(lattice.a, lattice.b);
      const Vec2 off = middle_ - *lattice.second;
      const double i0 = std::round(cross(off, lattice.b) / cell);
      const double j0 = std::round(cross(lattice.a, off) / cell);
      for (int i = -2; i <= 2; ++i) {
        for (int j = -2; j <= 2; ++j) {
          const Vec2 v = *lattice.second + (i0 + i) * lattice.a + (j0 + j) * lattice.b;
          if (!deeper(mixed_->depth(v))) return;
        }
      }
    }
    seeds_.push_back({area + depth * price(lattice), found_++, lattice});
    if (seeds_.size() >= 4 * kKept) keep_best();
  }

  // Of those with the same score the first that came.
  static bool before(const Seed& one, const Seed& other) {
    return one.score != other.score ? one.score < other.score : one.number < other.number;
  }

  void keep_best() {
    if (seeds_.size() <= kKept) return;
    const auto last = seeds_.begin() + static_cast<std::ptrdiff_t>(kKept) - 1;
    std::nth_element(seeds_.begin(), last, seeds_.end(), before);
    limit_ = last->score;
    seeds_.resize(kKept);
  }

  [[nodiscard]] bool like(const Lattice& one, const Lattice& other) const {
    const double near = 3.0 * spacing_;
    const auto close = [&](Vec2 u, Vec2 v) { return norm(u - v) < near || norm(u + v) < near; };
    const bool vectors =
        (close(one.a, other.a) && close(one.b, other.b)) || (close(one.a, other.b) && close(one.b, other.a));
    if (!vectors || !one.second) return vectors;
    const double cell = cross(one.a, one.b);
    const Vec2 gap = *one.second - *other.second;
    const double i = std::round(cross(gap, one.b) / cell);
    const double j = std::round(cross(one.a, gap) / cell);
    return norm(gap - i * one.a - j * one.b) < 2.0 * near;
  }

  static constexpr std::size_t kKept = 600;

  SeedOptions options_;
  DepthGrid same_;
  std::optional<DepthGrid> other_;
  std::optional<DepthGrid> mixed_;
  Vec2 middle_;
  double spacing_ = 0.0;
  double limit_ = 1e300;
  std::vector<Seed> seeds_;
  std::size_t found_ = 0;
};

}  // namespace

std::vector<Lattice> lattice_seeds(const LatticeRules& rules, const SeedOptions& options) {
  Seeds seeds(rules, options);
  if (options.level) {
    seeds.of_rows();
  } else if (rules.mixed) {
    seeds.of_two();
  } else {
    seeds.of_one();
  }
  return seeds.best();
}

}  // namespace lastwright
