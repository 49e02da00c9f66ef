#include "geometry/solid/extreme.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <utility>

#include "geometry/curve/golden_section.hpp"
#include "geometry/solid/surface_foot.hpp"

namespace lastwright {

namespace {

// A part of the rim of a face, with the face on its left seen from outside.
struct RimSide {
  std::int32_t rim = 0;
  int face = 0;
  Vec3 from;
  Vec3 to;
};

std::vector<RimSide> rim_sides(const Mesh& mesh) {
  std::vector<RimSide> sides;
  for (const Triangle& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t rim = mesh.sides[t.side[k]].rim;
      if (rim < 0) continue;
      sides.push_back({rim, t.face, mesh.nodes[t.node[k]].point, mesh.nodes[t.node[(k + 1) % 3]].point});
    }
  }
  return sides;
}

class Climber {
 public:
  Climber(const Body& body, Vec3 along) : body_(body), along_(along), rims_(rim_sides(body.mesh)) {}

  SurfaceSpot summit() {
    for (const MeshNode& n : body_.mesh.nodes) top_ = std::max(top_, dot(along_, n.point));
    std::map<int, std::vector<const MeshNode*>> near;  // of many small faces a few reach so high
    for (const MeshNode& n : body_.mesh.nodes) {
      if (dot(along_, n.point) > top_ - kNear) near[n.face].push_back(&n);
    }
    for (auto& [face, nodes] : near) climb_face(face, nodes);
    for (const RimSide& side : rims_) climb_rim(side);
    return best_;
  }

 private:
  // How far above the mesh's highest corner a summit may lie, and below it a corner from which one is
  // reached: more than the chords of a coarse mesh leave.
  static constexpr double kNear = 1.5;

  void offer(SurfaceSpot spot, double height) {
    if (!(height > best_height_)) return;
    best_height_ = height;
    found_ = true;
    best_ = spot;
  }

  void climb_face(int face, std::vector<const MeshNode*>& near) {
    constexpr double kApart = 4.0;  // mm between corners to start from
    constexpr std::size_t kStarts = 8;
    std::sort(near.begin(), near.end(), [&](const MeshNode* a, const MeshNode* b) {
      return dot(along_, a->point) > dot(along_, b->point);
    });
    std::vector<const MeshNode*> starts;
    for (const MeshNode* n : near) {
      if (starts.size() == kStarts) break;
      const auto close = [n](const MeshNode* s) { return distance(s->point, n->point) < kApart; };
      if (std::none_of(starts.begin(), starts.end(), close)) starts.push_back(n);
    }
    // Roughly from each, then exactly from the highest.
    std::vector<std::pair<double, SurfaceSpot>> rough;
    for (const MeshNode* start : starts) {
      SurfaceSpot here{face, start->u, start->v};
      const double height = climb(here, 1.0 / 64.0, 1.0 / 2048.0);
      rough.emplace_back(height, here);
    }
    std::stable_sort(rough.begin(), rough.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    for (auto& [height, here] : rough) {
      if (height < best_height_ - 0.01 || (height < rough.front().first - 0.01 && found_)) continue;
      climb(here, 1.0 / 1024.0, 1e-6);
      height = polish(here);
      if (within_face(here)) offer(here, height);
    }
  }

  // A compass search with steps that are shares of the parameters' ranges: it climbs along the rims of a
  // surface as well as inside.
  double climb(SurfaceSpot& here, double step, double last) const {
    const BSplineSurface& surface = body_.faces[static_cast<std::size_t>(here.face)].surface;
    double height = dot(along_, surface.point(here.u, here.v));
    const double range_u = surface.u.high() - surface.u.low();
    const double range_v = surface.v.high() - surface.v.low();
    for (int i = 0; i < 400 && step > last; ++i) {
      bool climbed = false;
      for (const auto& [du, dv] : {std::pair{1.0, 0.0},
                                   {-1.0, 0.0},
                                   {0.0, 1.0},
                                   {0.0, -1.0},
                                   {1.0, 1.0},
                                   {-1.0, -1.0},
                                   {1.0, -1.0},
                                   {-1.0, 1.0}}) {
        const double u = std::clamp(here.u + du * step * range_u, surface.u.low(), surface.u.high());
        const double v = std::clamp(here.v + dv * step * range_v, surface.v.low(), surface.v.high());
        const double h = dot(along_, surface.point(u, v));
        if (h > height) {
          height = h;
          here.u = u;
          here.v = v;
          climbed = true;
        }
      }
      if (!climbed) step *= 0.5;
    }
    return height;
  }

  // Newton's way to the summit, by differences: on a ridge askew to the parameters a compass stands still.
  double polish(SurfaceSpot& here) const {
    const BSplineSurface& surface = body_.faces[static_cast<std::size_t>(here.face)].surface;
    const double range_u = surface.u.high() - surface.u.low();
    const double range_v = surface.v.high() - surface.v.low();
    const auto height = [&](double u, double v) { return dot(along_, surface.point(u, v)); };
    double best = height(here.u, here.v);
    for (double step = 1e-3; step > 5e-6; step *= 0.5) {
      const double hu = step * range_u;
      const double hv = step * range_v;
      const double u = std::clamp(here.u, surface.u.low() + hu, surface.u.high() - hu);
      const double v = std::clamp(here.v, surface.v.low() + hv, surface.v.high() - hv);
      const double middle = height(u, v);
      const double west = height(u - hu, v);
      const double east = height(u + hu, v);
      const double south = height(u, v - hv);
      const double north = height(u, v + hv);
      const double fu = 0.5 * (east - west);
      const double fv = 0.5 * (north - south);
      const double fuu = east - 2.0 * middle + west;
      const double fvv = north - 2.0 * middle + south;
      const double fuv = 0.25 * (height(u + hu, v + hv) - height(u - hu, v + hv) - height(u + hu, v - hv) +
                                 height(u - hu, v - hv));
      const double det = fuu * fvv - fuv * fuv;
      if (!(fuu < 0.0 && det > 0.0)) continue;
      const double du = std::clamp((fuv * fv - fvv * fu) / det, -20.0, 20.0);
      const double dv = std::clamp((fuv * fu - fuu * fv) / det, -20.0, 20.0);
      const double to_u = std::clamp(u + du * hu, surface.u.low(), surface.u.high());
      const double to_v = std::clamp(v + dv * hv, surface.v.low(), surface.v.high());
      if (const double reached = height(to_u, to_v); reached >= best) {
        best = reached;
        here.u = to_u;
        here.v = to_v;
      }
    }
    return best;
  }

  // Where the rim is near, its own curve tells the side; elsewhere the mesh does. A place on the rim to
  // within a micrometre counts as outside: the rim's curve has it too.
  [[nodiscard]] bool within_face(const SurfaceSpot& spot) const {
    constexpr double kNearRim = 4.0;  // mm: farther off than the chords of a mesh leave the face
    const Vec3 p = body_.at(spot).p;
    const RimSide* nearest = nullptr;
    double least = kNearRim;
    for (const RimSide& side : rims_) {
      if (side.face != spot.face) continue;
      const Vec3 way = side.to - side.from;
      const double square = dot(way, way);
      const double t = square > 0.0 ? std::clamp(dot(p - side.from, way) / square, 0.0, 1.0) : 0.0;
      const double off = distance(p, lerp(side.from, side.to, t));
      if (off < least) {
        least = off;
        nearest = &side;
      }
    }
    if (!nearest) return within_mesh(spot);
    const RimPiece& rim = body_.mesh.rims[static_cast<std::size_t>(nearest->rim)];
    const BodyEdge& edge = body_.edges[static_cast<std::size_t>(rim.edge)];
    double t = 0.5 * (rim.from + rim.to);
    Vec3 foot;
    Vec3 slope;
    for (int i = 0; i < 20; ++i) {
      edge.curve.point_and_slope(t, foot, slope);
      const double square = dot(slope, slope);
      if (!(square > 0.0)) break;
      t = std::clamp(t + dot(p - foot, slope) / square, edge.from, edge.to);
    }
    if (dot(slope, nearest->to - nearest->from) < 0.0) slope = -slope;
    const Vec3 inward = unit(cross(body_.normal_at(spot), slope));
    return dot(p - foot, inward) > 1e-6;
  }

  [[nodiscard]] bool within_mesh(const SurfaceSpot& spot) const {
    const Mesh& mesh = body_.mesh;
    for (const Triangle& t : mesh.triangles) {
      if (t.face != spot.face) continue;
      int left = 0;
      int right = 0;
      for (std::size_t k = 0; k < 3; ++k) {
        const MeshNode& a = mesh.nodes[t.node[k]];
        const MeshNode& b = mesh.nodes[t.node[(k + 1) % 3]];
        const double side = (b.u - a.u) * (spot.v - a.v) - (b.v - a.v) * (spot.u - a.u);
        left += side >= 0.0;
        right += side <= 0.0;
      }
      if (left == 3 || right == 3) return true;
    }
    return false;
  }

  // The highest point of a part of an edge. Each is offered for the faces it bounds; the first gets it.
  void climb_rim(const RimSide& side) {
    if (std::max(dot(along_, side.from), dot(along_, side.to)) < top_ - kNear) return;
    const RimPiece& rim = body_.mesh.rims[static_cast<std::size_t>(side.rim)];
    const BSplineCurve3& curve = body_.edges[static_cast<std::size_t>(rim.edge)].curve;
    const auto height = [&](double t) { return dot(along_, curve.point(t)); };
    const auto [low, high] = valley_of([&](double t) { return -height(t); }, rim.from, rim.to, 60, 0.0);
    for (double t : {rim.from, 0.5 * (low + high), rim.to}) {
      if (const double h = height(t); h > best_height_ + 1e-9)
        offer(foot_on_face(body_, side.face, curve.point(t)), h);
    }
  }

  const Body& body_;
  Vec3 along_;
  std::vector<RimSide> rims_;
  double top_ = -std::numeric_limits<double>::infinity();
  double best_height_ = -std::numeric_limits<double>::infinity();
  SurfaceSpot best_;
  bool found_ = false;
};

SurfaceSpot farthest_corner(const Body& body, Vec3 along) {
  const MeshNode* best = nullptr;
  for (const MeshNode& n : body.mesh.nodes) {
    if (!best || dot(along, n.point) > dot(along, best->point)) best = &n;
  }
  return best ? SurfaceSpot{best->face, best->u, best->v} : SurfaceSpot{};
}

}  // namespace

SurfaceSpot farthest(const Body& body, Vec3 along) {
  if (body.facets) return farthest_corner(body, along);
  return Climber(body, along).summit();
}

}  // namespace lastwright
