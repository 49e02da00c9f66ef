// Where a second shape may not lie: the offsets at which it would overlap the first.
//
// Two shapes in convex parts overlap when a part of the one overlaps a part of the other, and convex parts C
// and D + v do exactly while v is inside the convex polygon C + (-D). The forbidden offsets are the union of
// these polygons; it is never drawn as one outline, so nothing can go wrong in doing that.
#pragma once

#include <vector>

#include "geometry/box2.hpp"
#include "geometry/check/convex_region.hpp"

namespace lastwright {

// A half plane that keeps v out of one of the polygons: dot(normal, v) >= its height. `apart` is how far v is
// beyond that line, below 0 inside the polygon.
struct Separation {
  Vec2 normal;
  double apart = 0.0;
};

class SumObstacle {
 public:
  // `parts` of the first shape and of the second, each convex and counter-clockwise.
  SumObstacle(const std::vector<Polygon>& parts, const std::vector<Polygon>& others);
  // That of the mirror images, in the line x = 0, of both shapes.
  [[nodiscard]] SumObstacle mirror_image() const;

  // For each polygon that v is inside of or nearer to than `reach` the half plane of its edge that v is
  // farthest beyond (or least inside of). Appends.
  void near(Vec2 v, double reach, std::vector<Separation>& found) const;
  // How far inside v is: 0 outside; else the greatest over the polygons of the least way out of it.
  [[nodiscard]] double depth(Vec2 v) const;
  // The same, but the search ends at the first polygon that v is `enough` inside of.
  [[nodiscard]] double depth(Vec2 v, double enough) const;

  [[nodiscard]] const Box2& box() const { return box_; }
  // Of a circle round the middle of the box that holds everything.
  [[nodiscard]] double radius() const { return radius_; }
  [[nodiscard]] const std::vector<Polygon>& polygons() const { return polygons_; }

 private:
  SumObstacle() = default;
  struct Edges {
    std::size_t first;
    std::size_t last;
  };
  struct HalfPlane {
    Vec2 normal;
    double height;
  };
  void add(Polygon polygon);
  // Of the half planes of a polygon the one v is farthest beyond.
  [[nodiscard]] Separation separation(std::size_t polygon, Vec2 v) const;

  std::vector<Polygon> polygons_;
  std::vector<Box2> boxes_;
  std::vector<Edges> edges_;
  std::vector<HalfPlane> planes_;
  Box2 box_;
  double radius_ = 0.0;
};

}  // namespace lastwright
