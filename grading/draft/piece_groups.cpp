#include "grading/draft/piece_groups.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/check/convex_region.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

namespace {

bool one_reaches(const DraftPiece& one, const DraftPiece& other) {
  for (const DraftEdge& edge : one.edges) {
    for (const Vec2 p : edge.samples) {
      if (inside_polygon(other.polygon, p) || on_outline(other, p, 0.5)) return true;
    }
  }
  return false;
}

bool touching(const DraftPiece& one, const DraftPiece& other) {
  if (!one.box.grown(0.5).overlaps(other.box)) return false;
  return one_reaches(one, other) || one_reaches(other, one);
}

std::size_t common_corners(const DraftPiece& one, const DraftPiece& other) {
  return static_cast<std::size_t>(
      std::count_if(one.corners.begin(), one.corners.end(), [&](const DraftCorner& corner) {
        return std::any_of(other.corners.begin(), other.corners.end(), [&](const DraftCorner& there) {
          return distance(corner.at, there.at) <= kDraftSame;
        });
      }));
}

bool lie_over(const DraftPiece& one, const DraftPiece& other) {
  if (!sole_shaped(one) || !sole_shaped(other)) return false;
  const FarPair here = farthest_points(one.polygon);
  const FarPair there = farthest_points(other.polygon);
  const double near = 0.06 * here.distance;
  return (distance(here.a, there.a) <= near && distance(here.b, there.b) <= near) ||
         (distance(here.a, there.b) <= near && distance(here.b, there.a) <= near);
}

bool apart_by_name(const DraftPiece& one, const DraftPiece& other) {
  const PartOfShoe a = one.words.part;
  const PartOfShoe b = other.words.part;
  if (a == PartOfShoe::kUnknown || b == PartOfShoe::kUnknown) return false;
  return a != b;
}

}  // namespace

FarPair farthest_points(const std::vector<Vec2>& points) {
  const std::vector<Vec2> hull = convex_hull(points);
  FarPair far;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    for (std::size_t k = i + 1; k < hull.size(); ++k) {
      const double d = distance(hull[i], hull[k]);
      if (d > far.distance) far = {hull[i], hull[k], d};
    }
  }
  return far;
}

bool sole_shaped(const DraftPiece& piece) {
  constexpr double kShort = 85.0;      // mm: an infant's first
  constexpr double kLeastWide = 0.25;  // of its length
  constexpr double kMostWide = 0.46;
  std::size_t sharp = 0;
  for (std::size_t i = 0; i < piece.edges.size(); ++i) {
    const DraftEdge& before = piece.edges[(i + piece.edges.size() - 1) % piece.edges.size()];
    const double turn =
        angle_between(tangent_at(before.curves.back(), 1.0), tangent_at(piece.edges[i].curves.front(), 0.0));
    if (std::abs(turn) > from_degrees(35.0).value()) ++sharp;
  }
  if (sharp > 2) return false;
  const FarPair far = farthest_points(piece.polygon);
  if (far.distance < kShort) return false;
  const Vec2 across = left_of(unit(far.b - far.a));
  double low = 0.0;
  double high = 0.0;
  for (const Vec2 p : piece.polygon) {
    const double h = dot(p - far.a, across);
    low = std::min(low, h);
    high = std::max(high, h);
  }
  const double wide = (high - low) / far.distance;
  // On both sides of its length, as a foot is; what lies on one side only is a half that is cut double.
  return wide >= kLeastWide && wide <= kMostWide && low < -0.08 * far.distance && high > 0.08 * far.distance;
}

std::vector<std::vector<std::size_t>> piece_groups(const std::vector<DraftPiece>& pieces) {
  std::vector<std::size_t> parent(pieces.size());
  std::iota(parent.begin(), parent.end(), std::size_t{0});
  const auto root = [&](std::size_t i) {
    while (parent[i] != i) i = parent[i];
    return i;
  };
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    for (std::size_t k = i + 1; k < pieces.size(); ++k) {
      if (apart_by_name(pieces[i], pieces[k]) || root(i) == root(k)) continue;
      const bool together = pieces[i].drawing == pieces[k].drawing
                                ? touching(pieces[i], pieces[k])
                                : common_corners(pieces[i], pieces[k]) >= 2 || lie_over(pieces[i], pieces[k]);
      if (together) parent[std::max(root(i), root(k))] = std::min(root(i), root(k));
    }
  }
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (root(i) != i) continue;
    groups.emplace_back();
    for (std::size_t k = i; k < pieces.size(); ++k) {
      if (root(k) == i) groups.back().push_back(k);
    }
  }
  return groups;
}

}  // namespace lastwright
