// Lines on a triangulated surface that keep their length when it is flattened.
#pragma once

#include "geometry/curve/arc_path.hpp"
#include "geometry/flatten/skin_mesh.hpp"

namespace lastwright {

// The point (1 - t) a + t b on a side of a triangle; a = b for a corner.
struct LinePlace {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  double t = 0.0;
  bool operator==(const LinePlace&) const = default;
};

struct HeldLine {
  std::vector<LinePlace> places;
  std::vector<double> steps;  // mm on the surface between neighbours; their shares of the whole are kept too
  double length = 0.0;        // mm: what its flat copy, drawn smoothly through the places, shall measure
  double stiffness = 10;      // of the triangles beside it, against those far from lines
  bool closed = false;        // runs back to its first place, by one step more
};

Vec3 place_at(const std::vector<Vec3>& points, const LinePlace& place);
Vec2 place_at(const std::vector<Vec2>& points, const LinePlace& place);
std::vector<Vec2> places_at(const std::vector<Vec2>& points, const std::vector<LinePlace>& places);

// Triangles as a whole: which points they join, and the shape of each.
struct FlatMesh {
  std::vector<Corners> triangles;
  std::vector<FlatCorners> shapes;  // by triangle
};

// A chain of neighbouring points, as long as the sides are.
// Refuses nothing: a pair that no triangle joins is a bug.
HeldLine line_along(const FlatMesh& mesh, const std::vector<std::uint32_t>& chain);

// Where a function of the points is zero: from where it first changes sign along the boundary chain `from`,
// through triangle after triangle to where it leaves the mesh; no places where it never changes sign there. A
// zero at a point counts as above. Places nearer to the one before than a fifth of the middle step are left
// out, ends never.
HeldLine zero_line(const FlatMesh& mesh, const std::vector<double>& height,
                   const std::vector<std::uint32_t>& from);

// Arcs through points, smooth: the direction at each is that of the circle through it and its neighbours.
// Two points make a straight line. Precondition: no two that follow each other coincide.
OpenArcPath smooth_through(const std::vector<Vec2>& points);

// A line's smooth copy through where its places lie.
OpenArcPath smooth_copy(const HeldLine& line, const std::vector<Vec2>& points);

}  // namespace lastwright
