#include "grading/lasts/landmarks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/solid/mesh_tree.hpp"
#include "geometry/solid/surface_foot.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

Problem not_found(const std::string& name, const std::string& why) {
  return {Trouble::kGeometry, fmt::format("the landmark '{}' was not found: {}", name, why), {}, {}, {}};
}

// Where the featherline ends that misses a station, how it was found and what helps.
std::string no_feather_there(const Body& body, const std::vector<int>& feather, double x) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const RimPiece& rim : body.mesh.rims) {
    if (!std::binary_search(feather.begin(), feather.end(), rim.edge)) continue;
    const BSplineCurve3& curve = body.edges[static_cast<std::size_t>(rim.edge)].curve;
    for (double t : {rim.from, rim.to}) {
      low = std::min(low, curve.point(t).x);
      high = std::max(high, curve.point(t).x);
    }
  }
  return fmt::format(
      "its station lies {:.0f} mm from the heel, and the featherline that was found goes from {:.0f} to "
      "{:.0f} "
      "mm; {}",
      x, low, high,
      body.facets
          ? "of a mesh it goes round the largest part that looks down, within 45 degrees of the bottom's own "
            "slope: look whether the last stands as it should (--axes, --heel-height), and whether its "
            "bottom "
            "there turns into the wall without an edge"
          : "name the faces of the bottom by hand (\"bottom\" of a base, --bottom)");
}

// The distance of p from the triangles of each face.
std::vector<double> off_faces(const Body& body, Vec3 p) {
  std::vector<double> least(body.faces.size(), std::numeric_limits<double>::infinity());
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 a = body.mesh.nodes[t.node[0]].point;
    const Vec3 b = body.mesh.nodes[t.node[1]].point;
    const Vec3 c = body.mesh.nodes[t.node[2]].point;
    const std::array<double, 3> w = foot_on(a, b, c, p);
    double& off = least[static_cast<std::size_t>(t.face)];
    off = std::min(off, distance(w[0] * a + w[1] * b + w[2] * c, p));
  }
  return least;
}

// The spot of p on the face of that role which comes nearest. Patches cut from one surface all hold the point
// in their surface; the one whose own part of it is nearest has it, whatever the rounding. Of thousands of
// faces those are looked at whose triangles come near.
std::optional<SurfaceSpot> spot_of(const Body& body, int role, Vec3 p) {
  const std::vector<double> off_own = off_faces(body, p);
  std::vector<std::pair<double, int>> order;
  for (std::size_t f = 0; f < body.faces.size(); ++f) {
    if (body.faces[f].role == role) order.emplace_back(off_own[f], static_cast<int>(f));
  }
  std::sort(order.begin(), order.end());
  std::optional<SurfaceSpot> best;
  double nearest = std::numeric_limits<double>::infinity();
  for (const auto& [least, face] : order) {
    if (least > nearest) break;
    const SurfaceSpot spot = foot_on_face(body, face, p);
    const double off = std::max(distance(body.at(spot).p, p), least);
    if (off < nearest || (best && off == nearest && face < best->face)) {
      nearest = off;
      best = spot;
    }
  }
  return best;
}

// Whether a section meets a face of that role.
bool meets(const Body& body, const Section& section, int role) {
  return std::any_of(section.stretches.begin(), section.stretches.end(), [&](const SectionStretch& s) {
    return body.faces[static_cast<std::size_t>(s.face)].role == role;
  });
}

// The highest point of the upper on a plane's section, on whatever face or edge it lies; of several places
// that are as high the one for which `off` is smallest, however the last was turned in its file. Points for
// which `off` is not finite do not count.
template <class Off>
std::optional<SectionPoint> highest(const Form& form, const Plane3& plane, Off off) {
  constexpr double kAsHigh = 1e-5;  // mm
  const auto upper_points = [&](const Section& section) {
    std::vector<const SectionPoint*> points;
    for (const SectionStretch& s : section.stretches) {
      if (form.body->faces[static_cast<std::size_t>(s.face)].role != FaceRole::kUpper) continue;
      for (std::size_t i : s.point) {
        if (std::isfinite(off(section.points[i].p))) points.push_back(&section.points[i]);
      }
    }
    return points;
  };
  const auto top_of = [](const std::vector<const SectionPoint*>& points) {
    double top = -std::numeric_limits<double>::infinity();
    for (const SectionPoint* p : points) top = std::max(top, p->p.z);
    return top;
  };
  const SectionOptions rough;
  const Section coarse = cut_section(form, plane, rough);
  const double about = top_of(upper_points(coarse));
  // Stretches as long as their bow allows have points a millimetre apart on a flat ridge: those that may
  // reach the top are halved until a summit is told to some micrometres.
  const SectionOptions close{1e-7, 24, {0, 0, 1}, about - 1.2 * rough.bow};
  const Section fine = cut_section(form, plane, close);
  const std::vector<const SectionPoint*> points = upper_points(fine);
  const double top = top_of(points);
  const SectionPoint* best = nullptr;
  for (const SectionPoint* p : points) {
    if (p->p.z >= top - kAsHigh && (!best || off(p->p) < off(best->p))) best = p;
  }
  return best ? std::optional(*best) : std::nullopt;
}

}  // namespace

Result<Landmarks> propose_landmarks(const Body& body, const Standing& standing,
                                    const LandmarkShares& shares) {
  Landmarks found;
  const double length = standing.length;
  const std::vector<int> feather = feather_edges(body);
  if (feather.empty()) {
    return not_found("featherline", "no edge lies between bottom and upper; name the landmarks by hand");
  }
  found["heel point"] = standing.heel;
  found["toe point"] = standing.toe;
  const bool left_is_outside = standing.foot == LastFoot::kLeft;
  const auto on_feather = [&](const std::string& name, double share, bool outside) -> Status {
    const std::optional<FeatherPair> pair = feather_at(body, feather, share * length);
    if (!pair) return not_found(name, no_feather_there(body, feather, share * length));
    const Vec3 p = outside == left_is_outside ? pair->left : pair->right;
    const std::optional<SurfaceSpot> spot = spot_of(body, FaceRole::kBottom, p);
    if (!spot) return not_found(name, "there is no bottom face");
    found[name] = *spot;
    return Done{};
  };
  for (const auto& [name, share, outside] : {std::tuple{"seat outside", shares.seat, true},
                                             {"seat inside", shares.seat, false},
                                             {"tread outside", shares.outside_tread, true},
                                             {"tread inside", shares.inside_tread, false},
                                             {"waist outside", shares.waist, true},
                                             {"waist inside", shares.waist, false},
                                             {"instep outside", shares.instep_bottom, true},
                                             {"instep inside", shares.instep_bottom, false}}) {
    if (const Status status = on_feather(name, share, outside); !status) return status.problem();
  }

  const Form form = make_form(body);
  // Marks on the bottom lie under a given point, on the section through it.
  const auto on_bottom = [&](const std::string& name, double x, double y) -> Status {
    const Section section = cut_section(form, plane_through({x, 0, 0}, {1, 0, 0}));
    std::optional<Vec3> best;
    for (const SectionStretch& s : section.stretches) {
      if (body.faces[static_cast<std::size_t>(s.face)].role != FaceRole::kBottom) continue;
      for (std::size_t k = 0; k < 2; ++k) {
        const Vec3 a = section.points[s.point[k]].p;
        const Vec3 b = section.points[s.point[k + 1]].p;
        const double t = a.y == b.y ? 0.0 : std::clamp((y - a.y) / (b.y - a.y), 0.0, 1.0);
        const Vec3 p = lerp(a, b, t);
        if (!best || std::abs(p.y - y) < std::abs(best->y - y)) best = p;
      }
    }
    if (!best) return not_found(name, "the bottom does not reach its station");
    found[name] = *spot_of(body, FaceRole::kBottom, *best);
    return Done{};
  };
  const auto middle = [&](double share) {
    const std::optional<FeatherPair> pair = feather_at(body, feather, share * length);
    return pair ? 0.5 * (pair->left.y + pair->right.y) : 0.0;
  };
  const Vec3 tread = 0.5 * (body.at(found["tread outside"]).p + body.at(found["tread inside"]).p);
  for (const auto& [name, x, y] :
       {std::tuple{"seat middle", shares.seat * length, middle(shares.seat)},
        {"tread middle", tread.x, tread.y},
        {"waist bottom", shares.waist * length, middle(shares.waist)},
        {"instep bottom", shares.instep_bottom * length, middle(shares.instep_bottom)},
        {"toe bottom", shares.toe * length, middle(shares.toe)}}) {
    if (const Status status = on_bottom(name, x, y); !status) return status.problem();
  }

  const auto on_ridge = [&](const std::string& name, double share) -> Status {
    const Plane3 station = plane_through({share * length, 0, 0}, {1, 0, 0});
    const double between = middle(share);
    const std::optional<SectionPoint> top =
        highest(form, station, [between](Vec3 p) { return std::abs(p.y - between); });
    if (!top) return not_found(name, "the upper does not reach its station");
    if (meets(body, cut_section(form, station), FaceRole::kTop)) {
      return not_found(name, "its station is under the top plane; move the mark towards the toe");
    }
    found[name] = foot_on_face(body, top->face, top->p);
    return Done{};
  };
  for (const auto& [name, share] : {std::pair{"waist top", shares.waist_top},
                                    {"instep top", shares.instep_top},
                                    {"ankle top", shares.ankle},
                                    {"toe top", shares.toe}}) {
    if (const Status status = on_ridge(name, share); !status) return status.problem();
  }

  // Ends of featherline and top rim at the heel and the toe.
  const auto end_of = [&](const std::string& name, bool feather_line, double sign) -> Status {
    std::optional<Vec3> best;
    for (const RimPiece& rim : body.mesh.rims) {
      const bool is_feather = std::binary_search(feather.begin(), feather.end(), rim.edge);
      if (is_feather != feather_line) continue;
      const BSplineCurve3& curve = body.edges[static_cast<std::size_t>(rim.edge)].curve;
      for (double t : {rim.from, 0.5 * (rim.from + rim.to), rim.to}) {
        const Vec3 p = curve.point(t);
        if (!best || sign * p.x > sign * best->x) best = p;
      }
    }
    if (!best) return not_found(name, "no such edge");
    const std::optional<SurfaceSpot> spot = spot_of(body, FaceRole::kBottom, *best);
    if (!spot) return not_found(name, "there is no bottom face");
    found[name] = *spot;
    return Done{};
  };
  if (const Status status = end_of("heel feather", true, -1.0); !status) return status.problem();
  if (const Status status = end_of("toe feather", true, 1.0); !status) return status.problem();
  // The back of the top plane: the highest point of the upper on the heel's middle section.
  const std::optional<SectionPoint> heel_top = highest(
      form, plane_through({0, 0, 0}, {0, 1, 0}),
      [length](Vec3 p) { return p.x < 0.2 * length ? p.x : std::numeric_limits<double>::infinity(); });
  if (!heel_top) return not_found("heel top", "the upper has no back");
  found["heel top"] = *spot_of(body, FaceRole::kUpper, heel_top->p);
  return found;
}

}  // namespace lastwright
