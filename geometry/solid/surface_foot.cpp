#include "geometry/solid/surface_foot.hpp"

#include <algorithm>
#include <limits>

#include "geometry/solid/mesh_body.hpp"

namespace lastwright {

SurfaceSpot foot_near(const BSplineSurface& surface, SurfaceSpot spot, Vec3 p, const FootOptions& options) {
  for (int i = 0; i < options.steps; ++i) {
    const SurfacePoint s = surface.at(spot.u, spot.v);
    const Vec3 off = p - s.p;
    const double g11 = dot(s.du, s.du);
    const double g12 = dot(s.du, s.dv);
    const double g22 = dot(s.dv, s.dv);
    const double det = g11 * g22 - g12 * g12;
    if (!(det > options.level * g11 * g22)) break;
    const double a = dot(off, s.du);
    const double b = dot(off, s.dv);
    const double du = (g22 * a - g12 * b) / det;
    const double dv = (g11 * b - g12 * a) / det;
    if (norm(du * s.du + dv * s.dv) > options.longest) break;
    const double u = std::clamp(spot.u + du, surface.u.low(), surface.u.high());
    const double v = std::clamp(spot.v + dv, surface.v.low(), surface.v.high());
    const double moved = norm((u - spot.u) * s.du + (v - spot.v) * s.dv);
    spot.u = u;
    spot.v = v;
    if (moved < options.settled) break;
  }
  return spot;
}

SurfaceSpot foot_on_face(const Body& body, int face, Vec3 p) {
  if (body.facets) return nearest_facet(body, face, p);
  SurfaceSpot spot{face, 0, 0};
  double best = std::numeric_limits<double>::infinity();
  for (const MeshNode& n : body.mesh.nodes) {
    if (n.face == face && distance(n.point, p) < best) {
      best = distance(n.point, p);
      spot.u = n.u;
      spot.v = n.v;
    }
  }
  return foot_near(body.faces[static_cast<std::size_t>(face)].surface, spot, p);
}

}  // namespace lastwright
