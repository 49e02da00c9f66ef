#include "grading/grade/held_stretches.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "geometry/curve/nearest.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/tolerance.hpp"
#include "grading/grade/held_inside.hpp"

namespace lastwright {

namespace {

// Held edges of one piece that follow each other, as one run.
struct HeldRun {
  std::string name;
  std::vector<Curve> curves;
  std::vector<Vec2> corners;  // where one edge meets the next
  std::size_t set;            // the first run it hangs together with
  const BoundPiece* piece;
};

std::vector<HeldRun> runs_of(const BoundPiece& piece) {
  std::vector<HeldRun> runs;
  const std::size_t count = piece.edges.size();
  const auto held = [&](std::size_t e) { return piece.edges[e % count].spec.held; };
  std::size_t first = 0;  // an edge with none held before it; any where all are
  while (first < count && !(held(first) && !held(first + count - 1))) ++first;
  if (first == count) first = 0;
  for (std::size_t k = 0; k < count; ++k) {
    const BoundEdge& edge = piece.edges[(first + k) % count];
    if (!edge.spec.held) continue;
    if (k == 0 || !held(first + k - 1)) {
      runs.push_back({piece.spec.name + ", ", {}, {}, 0, &piece});
    } else {
      runs.back().name += " and ";
      runs.back().corners.push_back(start_of(edge.chain.curves().front()));
    }
    runs.back().name += edge.spec.name;
    runs.back().curves.insert(runs.back().curves.end(), edge.chain.curves().begin(),
                              edge.chain.curves().end());
  }
  return runs;
}

bool lies_on(Vec2 p, const HeldRun& run) {
  return std::any_of(run.curves.begin(), run.curves.end(), [p](const Curve& curve) {
    return nearest(curve, p).distance <= tolerance::kChainGap.value();
  });
}

bool hang_together(const HeldRun& a, const HeldRun& b) {
  return lies_on(start_of(a.curves.front()), b) || lies_on(end_of(a.curves.back()), b) ||
         lies_on(start_of(b.curves.front()), a) || lies_on(end_of(b.curves.back()), a);
}

std::vector<HeldRun> held_runs(const FormeSpec& forme, const std::vector<BoundPiece>& pieces) {
  std::vector<HeldRun> runs;
  for (const BoundPiece& piece : pieces) {
    if (piece.spec.forme != forme.name) continue;
    for (HeldRun& run : runs_of(piece)) {
      const std::size_t next = runs.size();
      run.set = next;
      runs.push_back(std::move(run));
      for (std::size_t k = 0; k < next; ++k) {
        if (runs[k].set == runs[next].set || !hang_together(runs[next], runs[k])) continue;
        const std::size_t first = std::min(runs[k].set, runs[next].set);
        const std::size_t last = std::max(runs[k].set, runs[next].set);
        for (HeldRun& other : runs) {
          if (other.set == last) other.set = first;
        }
      }
    }
  }
  return runs;
}

// Shares of a run, closer towards its ends, where the field around it bends most. Their number changes by
// steps of eight, so that the same line drawn a little longer or shorter nearly always has as many.
std::vector<double> shares_of_run(double length, double size) {
  constexpr double kEight = 8.0;
  constexpr double kWidest = 5.0;  // mm, on average
  constexpr double kMost = 400.0;  // however it winds
  const double eights = std::ceil(std::max(2.0 * length / size, length / (kEight * kWidest)) - 1e-3);
  const double parts = std::clamp(kEight * eights, 2.0 * kEight, kMost);
  std::vector<double> shares;
  for (double k = 0.0; k <= parts; k += 1.0)
    shares.push_back(0.5 - 0.5 * std::cos(std::numbers::pi * k / parts));
  return shares;
}

}  // namespace

double farthest_apart(const std::vector<Vec2>& points) {
  double farthest = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) farthest = std::max(farthest, distance(points[i], points[k]));
  }
  return farthest;
}

std::vector<HeldStretch> held_stretches(const FormeSpec& forme, const std::vector<BoundPiece>& pieces) {
  const std::vector<HeldRun> runs = held_runs(forme, pieces);
  std::vector<HeldStretch> held;
  for (std::size_t set = 0; set < runs.size(); ++set) {
    HeldStretch stretch;
    std::vector<Vec2> all;
    for (const HeldRun& run : runs) {
      if (run.set != set) continue;
      constexpr std::size_t kFine = 64;
      const std::vector<Vec2> along = spaced_points(run.curves, kFine);
      all.insert(all.end(), along.begin(), along.end());
      stretch.name += (stretch.name.empty() ? "" : "; ") + run.name;
    }
    if (all.empty()) continue;
    const double size = farthest_apart(all);
    for (const HeldRun& run : runs) {
      if (run.set != set) continue;
      double whole = 0.0;
      for (const Curve& curve : run.curves) whole += length(curve);
      std::vector<Vec2> points = points_at_shares(run.curves, shares_of_run(whole, size));
      points.insert(points.end(), run.corners.begin(), run.corners.end());
      const std::vector<Vec2> inside = held_inside(*run.piece, run.curves, forme);
      points.insert(points.end(), inside.begin(), inside.end());
      for (const Vec2 p : points) {
        const bool known = std::any_of(stretch.points.begin(), stretch.points.end(), [p](Vec2 q) {
          return distance(p, q) <= tolerance::kSamePoint.value();
        });
        if (!known) stretch.points.push_back(p);
      }
    }
    held.push_back(std::move(stretch));
  }
  return held;
}

}  // namespace lastwright
