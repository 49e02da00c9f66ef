#include "geometry/solid/body_plan.hpp"

#include <algorithm>
#include <limits>

#include "geometry/solid/mesh_body.hpp"

namespace lastwright {

namespace {

// Breaks of a knot vector inside [low, high], with these ends.
Breaks breaks_within(const KnotVector& knots, double low, double high) {
  const Breaks all = breaks_of(knots);
  Breaks result;
  result.at.push_back(low);
  result.multiplicity.push_back(1);
  const double least = 1e-6 * (high - low);
  for (std::size_t i = 0; i < all.at.size(); ++i) {
    if (all.at[i] <= low + least || all.at[i] >= high - least) continue;
    result.at.push_back(all.at[i]);
    result.multiplicity.push_back(all.multiplicity[i]);
  }
  result.at.push_back(high);
  result.multiplicity.push_back(1);
  return result;
}

struct Range {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  void add(double t) {
    low = std::min(low, t);
    high = std::max(high, t);
  }
  // A little more than the mesh uses, because edges bow beyond its chords; never beyond the surface.
  void widen(const KnotVector& knots) {
    const double more = 0.03 * (high - low);
    low = std::max(low - more, knots.low());
    high = std::min(high + more, knots.high());
  }
};

}  // namespace

BodyPlan::BodyPlan(const Body& base, std::span<const SpaceMap* const> extremes, double tolerance)
    : base_(&base) {
  if (base.facets) return;
  for (std::size_t f = 0; f < base.faces.size(); ++f) {
    const BSplineSurface& surface = base.faces[f].surface;
    Range u;
    Range v;
    for (const MeshNode& n : base.mesh.nodes) {
      if (n.face != static_cast<int>(f)) continue;
      u.add(n.u);
      v.add(n.v);
    }
    u.widen(surface.u);
    v.widen(surface.v);
    SurfaceKnots knots{breaks_within(surface.u, u.low, u.high), breaks_within(surface.v, v.low, v.high)};
    for (const SpaceMap* map : extremes) {
      knots = find_surface_knots([&](double s, double t) { return (*map)(surface.point(s, t)); },
                                 std::move(knots), tolerance);
    }
    faces_.emplace_back(surface, knots);
  }
  for (const BodyEdge& edge : base.edges) {
    Breaks breaks = breaks_within(edge.curve.knots, edge.from, edge.to);
    for (const SpaceMap* map : extremes) {
      const CurveFit fit = fit_curve([&](double t) { return (*map)(edge.curve.point(t)); }, std::move(breaks),
                                     0.5 * tolerance);
      breaks = breaks_of(fit.curve.knots);
    }
    EdgePlan plan{GrevilleSolver(cubic_knots(breaks)), {}, {}};
    for (double t : plan.solver.sites()) plan.base.push_back(edge.curve.point(t));
    for (std::size_t i = 0; i + 1 < breaks.at.size(); ++i) {
      const double t = 0.5 * (breaks.at[i] + breaks.at[i + 1]);
      plan.test.emplace_back(t, edge.curve.point(t));
    }
    edges_.push_back(std::move(plan));
  }
}

Body BodyPlan::image(const SpaceMap& map, double& error) const {
  if (base_->facets) return facet_image(*base_, map, error);
  Body body;
  body.mesh = base_->mesh;
  error = 0.0;
  const auto worse = [&error](double e) {
    if (!(e <= error)) error = e;
  };
  for (std::size_t f = 0; f < faces_.size(); ++f) {
    BodyFace face;
    double e = 0.0;
    face.surface = faces_[f].fit([&map](Vec3 p) { return map(p); }, e);
    worse(e);
    face.outward = base_->faces[f].outward;
    face.loops = base_->faces[f].loops;
    face.role = base_->faces[f].role;
    body.faces.push_back(std::move(face));
  }
  for (std::size_t i = 0; i < edges_.size(); ++i) {
    const EdgePlan& plan = edges_[i];
    BodyEdge edge = base_->edges[i];
    edge.curve.knots = plan.solver.knots();
    edge.curve.weights.clear();
    edge.curve.poles.clear();
    for (const Vec3& p : plan.base) edge.curve.poles.push_back(map(p));
    plan.solver.solve(edge.curve.poles.data(), 1);
    for (const auto& [t, p] : plan.test) worse(distance(edge.curve.point(t), map(p)));
    body.edges.push_back(std::move(edge));
  }
  for (const Vec3& p : base_->vertices) body.vertices.push_back(map(p));
  for (MeshNode& n : body.mesh.nodes) {
    n.point = body.faces[static_cast<std::size_t>(n.face)].surface.point(n.u, n.v);
  }
  return body;
}

std::size_t BodyPlan::poles() const {
  std::size_t sum = 0;
  for (const SurfacePlan& f : faces_) sum += f.poles();
  return sum;
}

}  // namespace lastwright
