// The foot of a point on a surface: the place where the way from there to the point stands square on it.
#pragma once

#include "geometry/solid/body.hpp"

namespace lastwright {

struct FootOptions {
  int steps = 50;
  double settled = 1e-11;  // mm: a step shorter than this ends the search
  double longest = 1e300;  // mm: the search ends before a longer step: it would leave its neighbourhood
  double level = 0.0;      // the search ends where the two directions of the surface coincide to this (squared sine)
};

// Gauss-Newton from (u, v), clamped to the surface. Where it ends early, what it has reached is the answer.
SurfaceSpot foot_near(const BSplineSurface& surface, SurfaceSpot from, Vec3 p, const FootOptions& options = {});

// The same on a face of a body from its mesh node nearest to p; on facets the nearest place itself.
SurfaceSpot foot_on_face(const Body& body, int face, Vec3 p);

}  // namespace lastwright
