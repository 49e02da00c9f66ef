// A closed solid form as the measuring and grading code sees it: trimmed
// B-spline faces, their edges, and a coarse triangulation that knows its place
// in the surfaces. No solid kernel in here; kernel/ fills and checks it.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "geometry/solid/bspline.hpp"

namespace lastwright {

// A material point: it stays the same (face, u, v) through every grade and every file.
struct SurfaceSpot {
  int face = 0;
  double u = 0.0;
  double v = 0.0;
};

// A curve shared by two faces, or by one face with itself (a seam).
struct BodyEdge {
  BSplineCurve3 curve;
  double from = 0.0;  // parameter range in use, from < to
  double to = 1.0;
  int start = 0;  // vertices at `from` and `to`; equal for a closed edge
  int end = 0;
  double kink = 0.0;  // largest angle between the outward normals of its two faces, radians
};

// One use of an edge by a loop of a face.
struct EdgeUse {
  int edge = 0;
  bool forward = true;  // walked from `from` to `to`
};

// One closed loop of a face. A face without loops covers its whole closed surface.
struct BodyLoop {
  std::vector<EdgeUse> uses;
  bool outer = true;
};

struct BodyFace {
  BSplineSurface surface;
  bool outward = true;  // the surface's own normal du x dv points out of the body
  std::vector<BodyLoop> loops;
  int role = 0;  // what the face is to whoever uses the body, who gives the numbers; images keep it
};

// A corner of the triangulation: its place in its face and the exact point there.
struct MeshNode {
  int face = 0;
  double u = 0.0;
  double v = 0.0;
  Vec3 point;
};

// A side of a triangle. On the rim of a face it lies along a part of an edge, and the two faces that meet
// there share the rim piece, so that a section crosses the edge in one and the same point.
struct MeshSide {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::int32_t rim = -1;  // index into Mesh::rims, or -1
};
struct RimPiece {
  int edge = 0;
  double from = 0.0;  // parameters on the edge's curve
  double to = 0.0;
};
struct Triangle {
  std::array<std::uint32_t, 3> node{};  // counter-clockwise seen from outside
  std::array<std::uint32_t, 3> side{};  // side k joins node k and node k + 1
  std::int32_t face = 0;
};
struct Mesh {
  std::vector<MeshNode> nodes;
  std::vector<MeshSide> sides;
  std::vector<RimPiece> rims;
  std::vector<Triangle> triangles;
  // The two triangles at each side, -1 where there is none; of facets only.
  std::vector<std::array<std::int32_t, 2>> beside;
};

// Triangles alone, for STL.
struct PlainMesh {
  std::vector<Vec3> points;
  std::vector<std::array<std::uint32_t, 3>> triangles;  // counter-clockwise seen from outside
};

struct Body {
  std::vector<BodyFace> faces;
  std::vector<BodyEdge> edges;
  std::vector<Vec3> vertices;
  Mesh mesh;
  std::vector<std::string> notes;  // what the reader had to do or found odd
  bool roles_given = false;        // the faces' roles were stated by hand: see whoever uses them
  bool facets = false;             // made of plane triangles, faces without surfaces: see mesh_body.hpp

  [[nodiscard]] SurfacePoint at(const SurfaceSpot& s) const {
    return facets ? facet_at(s) : faces[static_cast<std::size_t>(s.face)].surface.at(s.u, s.v);
  }
  // Unit normal that points out of the body; zero where the surface is degenerate. Of facets a mean over
  // some millimetres of the face.
  [[nodiscard]] Vec3 normal_at(const SurfaceSpot& s) const {
    if (facets) return facets_normal(s);
    const SurfacePoint p = at(s);
    const Vec3 n = unit(cross(p.du, p.dv));
    return faces[static_cast<std::size_t>(s.face)].outward ? n : -n;
  }

 private:
  [[nodiscard]] SurfacePoint facet_at(const SurfaceSpot& s) const;
  [[nodiscard]] Vec3 facets_normal(const SurfaceSpot& s) const;
};

// The same body moved: every p becomes axes * p + shift, the rows of axes being the new unit directions.
struct Motion {
  std::array<Vec3, 3> rows{Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}};
  Vec3 shift;
  [[nodiscard]] Vec3 operator()(Vec3 p) const { return turned(p) + shift; }
  [[nodiscard]] Vec3 turned(Vec3 p) const { return {dot(rows[0], p), dot(rows[1], p), dot(rows[2], p)}; }
};
void move(Body& body, const Motion& motion);

// Volume enclosed by the triangulation: positive when the faces look outward.
double volume(const Mesh& mesh);

}  // namespace lastwright
