#include "geometry/solid/section.hpp"

#include <algorithm>
#include <unordered_map>

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/smooth_normal.hpp"
#include "geometry/solid/surface_foot.hpp"

namespace lastwright {

namespace {

constexpr double kOnPlane = 1e-9;  // mm: where the solving stops
constexpr int kSteps = 30;
constexpr std::size_t kNone = static_cast<std::size_t>(-1);

struct FacePlace {
  double u = 0.0;
  double v = 0.0;
};

class Cutter {
 public:
  Cutter(const Form& form, const Plane3& plane, const SectionOptions& options)
      : form_(form), options_(options) {
    section_.plane = plane;
  }

  Section cut() {
    const Mesh& mesh = form_.body->mesh;
    height_.resize(mesh.nodes.size());
    for (std::size_t i = 0; i < height_.size(); ++i) {
      height_[i] = section_.plane.height(form_.nodes[i]);
      // A node in the plane counts as above, so that every triangle is crossed in none or two of its sides.
      if (height_[i] == 0.0) height_[i] = 1e-300;
    }
    for (const Triangle& t : mesh.triangles) {
      const bool s0 = height_[t.node[0]] > 0.0;
      const bool s1 = height_[t.node[1]] > 0.0;
      const bool s2 = height_[t.node[2]] > 0.0;
      if (s0 == s1 && s1 == s2) continue;
      std::array<std::size_t, 2> sides{};
      std::size_t n = 0;
      for (std::size_t k = 0; k < 3; ++k) {
        if ((height_[t.node[k]] > 0.0) != (height_[t.node[(k + 1) % 3]] > 0.0) && n < 2) sides[n++] = k;
      }
      if (n == 2) join(t, sides[0], sides[1]);
    }
    trim();
    for (const Piece& piece : pieces_) {
      const auto& [a, b] = piece.end;
      if (a.point == b.point) continue;
      if (ends_before(a.point, b.point)) {
        section_.stretches.push_back({{a.point, a.point, b.point}, piece.face});
      } else {
        halve(a.point, a.place, b.point, b.place, piece.face, options_.halvings);
      }
    }
    if (trimmed_) drop_loose_points();
    return std::move(section_);
  }

 private:
  [[nodiscard]] const BSplineSurface& surface(int face) const {
    return form_.body->faces[static_cast<std::size_t>(face)].surface;
  }

  // Where the side's straight line in (u, v) meets the plane on the image.
  std::size_t solve_side(std::uint32_t index, int face, FacePlace& place) {
    const MeshSide& side = form_.body->mesh.sides[index];
    const MeshNode& a = form_.body->mesh.nodes[side.a];
    const MeshNode& b = form_.body->mesh.nodes[side.b];
    const auto at = [&](double t) { return FacePlace{a.u + t * (b.u - a.u), a.v + t * (b.v - a.v)}; };
    if (side.rim >= 0) {
      place = at(height_[side.a] / (height_[side.a] - height_[side.b]));
      const auto [found, is_new] = on_rim_.try_emplace(side.rim, kNone);
      if (is_new) {
        found->second = solve_rim(form_.body->mesh.rims[static_cast<std::size_t>(side.rim)], face, place);
      }
      // The edge's parameter does not run evenly with the surface's: the point's own place is found again.
      place = place_of(face, place, section_.points[found->second].material);
      return found->second;
    }
    const auto [found, is_new] = on_side_.try_emplace(index, Solved{});
    if (is_new) {
      const double t = root(height_[side.a], height_[side.b], [&](double s) {
        const FacePlace q = at(s);
        return section_.plane.height(form_.image(surface(face).point(q.u, q.v)));
      });
      found->second = {at(t), add(face, at(t))};
    }
    place = found->second.place;
    return found->second.point;
  }

  // Gauss-Newton for the place of a point of the base that lies on the face.
  [[nodiscard]] FacePlace place_of(int face, FacePlace q, Vec3 material) const {
    const SurfaceSpot foot =
        foot_near(surface(face), {face, q.u, q.v}, material, {.steps = 4, .settled = 0.0, .level = 1e-14});
    return {foot.u, foot.v};
  }

  std::size_t solve_rim(const RimPiece& rim, int face, FacePlace near) {
    const BodyEdge& edge = form_.body->edges[static_cast<std::size_t>(rim.edge)];
    const auto at = [&](double s) { return rim.from + s * (rim.to - rim.from); };
    const auto height = [&](double s) { return section_.plane.height(form_.image(edge.curve.point(at(s)))); };
    const double t = root(height(0.0), height(1.0), height);
    Vec3 slope;
    SectionPoint point;
    edge.curve.point_and_slope(at(t), point.material, slope);
    if (form_.map) {
      Jacobian jacobian;
      point.p = form_.map->with_jacobian(point.material, jacobian);
      slope = jacobian.turned(slope);
    } else {
      point.p = point.material;
    }
    point.slide = unit(slope);
    point.face = face;
    point.u = near.u;
    point.v = near.v;
    point.on_edge = true;
    section_.points.push_back(point);
    return section_.points.size() - 1;
  }

  // Bracketed root in [0, 1] by the Illinois rule; the nearer end where rounding left no change of sign.
  template <class Function>
  static double root(double f0, double f1, const Function& f) {
    if ((f0 > 0.0) == (f1 > 0.0)) return std::abs(f0) < std::abs(f1) ? 0.0 : 1.0;
    double t0 = 0.0;
    double t1 = 1.0;
    double t = 0.5;
    for (int i = 0; i < 60; ++i) {
      t = t1 - f1 * (t1 - t0) / (f1 - f0);
      const double value = f(t);
      if (std::abs(value) < kOnPlane) break;
      if ((value > 0.0) == (f1 > 0.0)) {
        f0 *= 0.5;
      } else {
        t0 = t1;
        f0 = f1;
      }
      t1 = t;
      f1 = value;
    }
    return std::clamp(t, 0.0, 1.0);
  }

  SurfacePoint image_at(int face, FacePlace q, Vec3& material) const {
    SurfacePoint s = surface(face).at(q.u, q.v);
    material = s.p;
    if (form_.map) {
      Jacobian jacobian;
      s.p = form_.map->with_jacobian(s.p, jacobian);
      s.du = jacobian.turned(s.du);
      s.dv = jacobian.turned(s.dv);
    }
    return s;
  }

  std::size_t add(int face, FacePlace q) {
    SectionPoint point;
    const SurfacePoint s = image_at(face, q, point.material);
    const Vec3 n = unit(cross(s.du, s.dv));
    const Vec3& m = section_.plane.normal;
    point.p = s.p;
    point.slide = unit(m - dot(m, n) * n);
    point.face = face;
    point.u = q.u;
    point.v = q.v;
    section_.points.push_back(point);
    return section_.points.size() - 1;
  }

  // Moves q along the steepest direction of the height until it lies in the plane. False where the surface
  // does not allow it (a pole, a tangent plane) or the way is longer than `reach` in space.
  bool settle(int face, FacePlace& q, double reach) const {
    const KnotVector& ku = surface(face).u;
    const KnotVector& kv = surface(face).v;
    double walked = 0.0;
    for (int i = 0; i < kSteps; ++i) {
      Vec3 material;
      const SurfacePoint s = image_at(face, q, material);
      const double f = section_.plane.height(s.p);
      if (std::abs(f) < kOnPlane) return true;
      // The shortest step in space: metric of the image.
      const double fu = dot(section_.plane.normal, s.du);
      const double fv = dot(section_.plane.normal, s.dv);
      const double g11 = dot(s.du, s.du);
      const double g12 = dot(s.du, s.dv);
      const double g22 = dot(s.dv, s.dv);
      const double det = g11 * g22 - g12 * g12;
      if (!(det > 1e-14 * g11 * g22)) return false;
      const double su = (g22 * fu - g12 * fv) / det;
      const double sv = (g11 * fv - g12 * fu) / det;
      const double slope = fu * su + fv * sv;
      if (!(slope > 1e-8)) return false;
      walked += std::abs(f) / std::sqrt(slope);
      if (walked > reach) return false;
      q.u = std::clamp(q.u - f / slope * su, ku.low(), ku.high());
      q.v = std::clamp(q.v - f / slope * sv, kv.low(), kv.high());
    }
    return false;
  }

  // On facets a side is straight, and so is a stretch.
  std::size_t cross_side(std::uint32_t index, int face) {
    const auto [found, is_new] = on_side_.try_emplace(index, Solved{});
    if (is_new) {
      const MeshSide& side = form_.body->mesh.sides[index];
      const double t = height_[side.a] / (height_[side.a] - height_[side.b]);
      const MeshNode& a = form_.body->mesh.nodes[side.a];
      const MeshNode& b = form_.body->mesh.nodes[side.b];
      SectionPoint point;
      point.p = lerp(form_.nodes[side.a], form_.nodes[side.b], t);
      point.material = lerp(a.point, b.point, t);
      point.face = face;
      point.u = a.u;
      point.v = a.v;
      section_.points.push_back(point);
      found->second.point = section_.points.size() - 1;
    }
    return found->second.point;
  }

  void join(const Triangle& t, std::size_t side_a, std::size_t side_b) {
    if (form_.body->facets) {
      const std::size_t from = cross_side(t.side[side_a], t.face);
      section_.stretches.push_back({{from, from, cross_side(t.side[side_b], t.face)}, t.face});
      return;
    }
    Piece piece;
    piece.face = t.face;
    for (std::size_t i = 0; i < 2; ++i) {
      const std::size_t side = i == 0 ? side_a : side_b;
      End& end = piece.end[i];
      end.point = solve_side(t.side[side], t.face, end.place);
      end.on_rim = form_.body->mesh.sides[t.side[side]].rim >= 0;
      // The triangles run counter-clockwise seen from outside, so the face lies left of its rim.
      if (end.on_rim) end.along = form_.nodes[t.node[(side + 1) % 3]] - form_.nodes[t.node[side]];
    }
    pieces_.push_back(piece);
  }

  // Where the rim of a face is hollow, the chords of the mesh lie outside the face, and a crossing near the
  // rim may be found beyond it on the surface. The section ends at the rim: such crossings are passed over.
  void trim() {
    std::unordered_map<std::size_t, std::vector<std::size_t>> at;  // pieces by their ends inside a face
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      for (const End& end : pieces_[i].end) {
        if (!end.on_rim) at[end.point].push_back(i);
      }
    }
    std::vector<bool> gone(pieces_.size(), false);
    for (std::size_t first = 0; first < pieces_.size(); ++first) {
      for (std::size_t side = 0; side < 2; ++side) {
        const End rim = pieces_[first].end[side];
        if (gone[first] || !rim.on_rim) continue;
        const Vec3 inward = into_face(pieces_[first].face, rim);
        const Vec3 from = section_.points[rim.point].p;
        std::size_t piece = first;
        std::size_t near = side;
        for (;;) {
          const End& far = pieces_[piece].end[1 - near];
          if (far.on_rim || !(dot(section_.points[far.point].p - from, inward) < 0.0)) break;
          const std::vector<std::size_t>& both = at[far.point];
          if (both.size() != 2) break;
          const std::size_t next = both[0] == piece ? both[1] : both[0];
          near = pieces_[next].end[0].point == far.point && !pieces_[next].end[0].on_rim ? 0 : 1;
          gone[piece] = true;
          trimmed_ = true;
          piece = next;
          pieces_[piece].end[near] = rim;
        }
      }
    }
    std::size_t kept = 0;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      if (!gone[i]) pieces_[kept++] = pieces_[i];
    }
    pieces_.resize(kept);
  }

  // A tape goes round all points: those that no stretch uses any more must not be among them.
  void drop_loose_points() {
    std::vector<std::size_t> place(section_.points.size(), kNone);
    for (const SectionStretch& s : section_.stretches) {
      for (std::size_t i : s.point) place[i] = 0;
    }
    std::size_t kept = 0;
    for (std::size_t i = 0; i < place.size(); ++i) {
      if (place[i] == kNone) continue;
      section_.points[kept] = section_.points[i];
      place[i] = kept++;
    }
    section_.points.resize(kept);
    for (SectionStretch& s : section_.stretches) {
      for (std::size_t& i : s.point) i = place[i];
    }
  }

  [[nodiscard]] bool ends_before(std::size_t a, std::size_t b) const {
    const Vec3 from = section_.points[a].p;
    const Vec3 to = section_.points[b].p;
    const double reach = std::max(dot(options_.towards, from), dot(options_.towards, to));
    return reach + 1.0 + distance(from, to) < options_.from;
  }

  static FacePlace middle(FacePlace a, FacePlace b) { return {0.5 * (a.u + b.u), 0.5 * (a.v + b.v)}; }

  // At a pole one parameter means nothing: it is taken from the other end of the stretch.
  bool leave_pole(int face, FacePlace& a, FacePlace& b) const {
    constexpr double kPole = 1e-6;  // mm for the whole range of the parameter
    bool left = false;
    for (auto& [here, other] : {std::pair<FacePlace&, FacePlace&>{a, b}, {b, a}}) {
      const BSplineSurface& on = surface(face);
      const SurfacePoint s = on.at(here.u, here.v);
      if (norm(s.du) * (on.u.high() - on.u.low()) < kPole) {
        here.u = other.u;
        left = true;
      } else if (norm(s.dv) * (on.v.high() - on.v.low()) < kPole) {
        here.v = other.v;
        left = true;
      }
    }
    return left;
  }

  void halve(std::size_t pa, FacePlace a, std::size_t pb, FacePlace b, int face, int left) {
    FacePlace m = middle(a, b);
    const Vec3 from = section_.points[pa].p;
    const Vec3 to = section_.points[pb].p;
    const double chord = distance(from, to);
    if (chord < kOnPlane) return;
    if (!settle(face, m, chord) && !(leave_pole(face, a, b) && settle(face, m = middle(a, b), chord))) {
      section_.stretches.push_back({{pa, pa, pb}, face});
      return;
    }
    const std::size_t pm = add(face, m);
    const Vec3 p = section_.points[pm].p;
    const double bow = norm(cross(p - from, to - from)) / chord;
    // The middle must also lie near the middle, or the circle through the three would not tell the arc.
    const double share = dot(p - from, to - from) / (chord * chord);
    if (left > 0 && (bow > options_.bow || (std::abs(share - 0.5) > 0.25 && bow > 1e-4))) {
      halve(pa, a, pm, m, face, left - 1);
      halve(pm, m, pb, b, face, left - 1);
      return;
    }
    section_.stretches.push_back({{pa, pm, pb}, face});
  }

  // The part of the section within one triangle.
  struct End {
    std::size_t point = kNone;
    FacePlace place;
    bool on_rim = false;
    Vec3 along;  // on the rim: its direction, the face on its left
  };
  struct Piece {
    std::array<End, 2> end;
    int face = 0;
  };

  // The direction in which the section leaves its point on the rim into the face; zero where it runs along.
  [[nodiscard]] Vec3 into_face(int face, const End& rim) const {
    Vec3 material;
    const SurfacePoint s = image_at(face, rim.place, material);
    const Vec3 n = unit(cross(s.du, s.dv));
    const Vec3 outward = form_.body->faces[static_cast<std::size_t>(face)].outward ? n : -n;
    const Vec3 way = unit(cross(section_.plane.normal, outward));
    const double side = dot(way, unit(cross(outward, rim.along)));
    if (std::abs(side) < 0.05) return {};  // three degrees: which side is which cannot be told
    return side > 0.0 ? way : -way;
  }

  struct Solved {
    FacePlace place;
    std::size_t point = kNone;
  };
  const Form& form_;
  SectionOptions options_;
  Section section_;
  std::vector<double> height_;
  std::vector<Piece> pieces_;
  bool trimmed_ = false;
  std::unordered_map<std::uint32_t, Solved> on_side_;
  std::unordered_map<std::int32_t, std::size_t> on_rim_;
};

}  // namespace

SurfacePoint Form::at(const SurfaceSpot& spot) const {
  if (body->facets) return facet_at(*body, spot, map);
  SurfacePoint s = body->at(spot);
  if (map) {
    Jacobian jacobian;
    s.p = map->with_jacobian(s.p, jacobian);
    s.du = jacobian.turned(s.du);
    s.dv = jacobian.turned(s.dv);
  }
  return s;
}

Vec3 Form::normal_at(const SurfaceSpot& spot) const {
  if (body->facets) return smooth_normal(*body, spot, map);
  const SurfacePoint s = at(spot);
  const Vec3 n = unit(cross(s.du, s.dv));
  return body->faces[static_cast<std::size_t>(spot.face)].outward ? n : -n;
}

Form make_form(const Body& body, const SpaceMap* map) {
  Form form{&body, map, {}};
  form.nodes.reserve(body.mesh.nodes.size());
  for (const MeshNode& node : body.mesh.nodes) form.nodes.push_back(form.image(node.point));
  return form;
}

Section cut_section(const Form& form, const Plane3& plane, const SectionOptions& options) {
  return Cutter(form, plane, options).cut();
}

double stretch_length(const Section& section, const SectionStretch& stretch) {
  const Vec3 a = section.points[stretch.point[0]].p;
  const Vec3 m = section.points[stretch.point[1]].p;
  const Vec3 b = section.points[stretch.point[2]].p;
  const double c1 = distance(a, m);
  const double c2 = distance(m, b);
  const double c = distance(a, b);
  if (!(c1 > 0.0 && c2 > 0.0 && c > 0.0)) return c1 + c2;
  // Arcs of the circle through the three points, to the first term beyond their
  // chords. Where the middle lies close to an end the circle is ill fixed: the
  // correction never exceeds what halving the chord has already brought.
  const double curvature = 2.0 * norm(cross(m - a, b - a)) / (c1 * c2 * c);
  const double beyond = curvature * curvature * (c1 * c1 * c1 + c2 * c2 * c2) / 24.0;
  return c1 + c2 + std::min(beyond, c1 + c2 - c);
}

}  // namespace lastwright
