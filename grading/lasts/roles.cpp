#include "grading/lasts/roles.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/facet_roles.hpp"

namespace lastwright {

namespace {

struct FaceSum {
  Vec3 area;           // sum of outward area vectors
  double down = 0.0;   // of how far it looks the bottom's own way down
  double total = 0.0;  // sum of their lengths
  double low = std::numeric_limits<double>::infinity();
  std::vector<std::size_t> triangles;
};

bool hits(const Mesh& mesh, const Triangle& t, Vec3 from, Vec3 along) {
  const Vec3 a = mesh.nodes[t.node[0]].point;
  const Vec3 ab = mesh.nodes[t.node[1]].point - a;
  const Vec3 ac = mesh.nodes[t.node[2]].point - a;
  const Vec3 p = cross(along, ac);
  const double det = dot(ab, p);
  if (std::abs(det) < 1e-12) return false;
  const Vec3 s = from - a;
  const double u = dot(s, p) / det;
  if (u < 0.0 || u > 1.0) return false;
  const Vec3 q = cross(s, ab);
  const double v = dot(along, q) / det;
  return v >= 0.0 && u + v <= 1.0 && dot(ac, q) / det > 0.5;  // half a millimetre: not its own neighbours
}

// Share of a face's triangles from which the way straight out meets the body again.
double looks_inward(const Body& body, const FaceSum& sum) {
  const Mesh& mesh = body.mesh;
  const std::size_t step = std::max<std::size_t>(1, sum.triangles.size() / 24);
  int looked = 0;
  int met = 0;
  for (std::size_t i = 0; i < sum.triangles.size(); i += step) {
    const Triangle& t = mesh.triangles[sum.triangles[i]];
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    const Vec3 out = unit(cross(b - a, c - a));
    if (out == Vec3{}) continue;
    ++looked;
    met += std::any_of(mesh.triangles.begin(), mesh.triangles.end(),
                       [&](const Triangle& other) { return hits(mesh, other, (a + b + c) / 3.0, out); });
  }
  return looked > 0 ? static_cast<double>(met) / looked : 0.0;
}

void note_kinks(Body& body) {
  // The normals of the two triangles at each rim piece; the
  // mesh is fine enough to tell a feather edge from a seam.
  const Mesh& mesh = body.mesh;
  std::vector<Vec3> first(mesh.rims.size());
  for (const Triangle& t : mesh.triangles) {
    for (std::uint32_t side : t.side) {
      const int rim = mesh.sides[side].rim;
      if (rim < 0) continue;
      const MeshNode& a = mesh.nodes[mesh.sides[side].a];
      const MeshNode& b = mesh.nodes[mesh.sides[side].b];
      const Vec3 n = body.normal_at({t.face, 0.5 * (a.u + b.u), 0.5 * (a.v + b.v)});
      Vec3& other = first[static_cast<std::size_t>(rim)];
      if (other == Vec3{}) {
        other = n;
      } else {
        double& kink =
            body.edges[static_cast<std::size_t>(mesh.rims[static_cast<std::size_t>(rim)].edge)].kink;
        kink = std::max(kink, std::acos(std::clamp(dot(n, other), -1.0, 1.0)));
      }
    }
  }
}

}  // namespace

BottomWay::BottomWay(const Body& body) {
  constexpr int kStations = 24;
  constexpr double kNear = 25.0;  // mm over the lowest of a station: walls that overhang lie higher
  constexpr double kDown = 0.35;  // steeper than any shank
  const Mesh& mesh = body.mesh;
  double low_x = std::numeric_limits<double>::infinity();
  double high_x = -low_x;
  for (const MeshNode& n : mesh.nodes) {
    low_x = std::min(low_x, n.point.x);
    high_x = std::max(high_x, n.point.x);
  }
  from_ = low_x;
  step_ = std::max(1e-9, (high_x - low_x) / kStations);
  const auto station = [&](double x) {
    return static_cast<std::size_t>(std::clamp((x - from_) / step_, 0.0, kStations - 1.0));
  };
  std::vector<double> lowest(kStations, std::numeric_limits<double>::infinity());
  for (const MeshNode& n : mesh.nodes) {
    double& z = lowest[station(n.point.x)];
    z = std::min(z, n.point.z);
  }
  std::vector<Vec3> sums(kStations);
  for (const Triangle& t : mesh.triangles) {
    const Vec3 area = area_of(mesh, t);
    const Vec3 centre = centre_of(mesh, t);
    const std::size_t at = station(centre.x);
    if (area.z < -kDown * norm(area) && centre.z < lowest[at] + kNear)
      sums[at] += Vec3{-area.x, 0.0, -area.z};
  }
  // Over a station to either side: a bend of the bottom has no jump.
  for (std::size_t i = 0; i < sums.size(); ++i) {
    Vec3 sum = 2.0 * sums[i];
    if (i > 0) sum += sums[i - 1];
    if (i + 1 < sums.size()) sum += sums[i + 1];
    ups_.push_back(sum == Vec3{} ? Vec3{0, 0, 1} : unit(sum));
  }
}

Vec3 BottomWay::up(double x) const {
  const double at = std::clamp((x - from_) / step_ - 0.5, 0.0, static_cast<double>(ups_.size()) - 1.001);
  const auto i = static_cast<std::size_t>(at);
  return unit(lerp(ups_[i], ups_[i + 1], at - static_cast<double>(i)));
}

Status name_bottom(Body& body, const std::vector<int>& faces) {
  if (faces.empty()) return Done{};
  if (body.facets) {
    return Problem{
        Trouble::kBadValue, "a mesh has no faces of which some could be named as its bottom", {}, {}, {}};
  }
  body.roles_given = true;
  for (int f : faces) {
    if (f < 0 || f >= static_cast<int>(body.faces.size())) {
      return Problem{Trouble::kBadValue,
                     "the bottom names a face that the last does not have",
                     {},
                     static_cast<double>(f),
                     static_cast<double>(body.faces.size()) - 1.0};
    }
    body.faces[static_cast<std::size_t>(f)].role = FaceRole::kBottom;
  }
  return Done{};
}

void find_roles(Body& body) {
  if (body.facets) {
    find_facet_roles(body);
    return;
  }
  const Mesh& mesh = body.mesh;
  const BottomWay way(body);
  std::vector<FaceSum> sums(body.faces.size());
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    const Triangle& t = mesh.triangles[i];
    FaceSum& sum = sums[static_cast<std::size_t>(t.face)];
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    const Vec3 area = 0.5 * cross(b - a, c - a);
    sum.area += area;
    sum.down -= dot(area, way.up((a.x + b.x + c.x) / 3.0));
    sum.total += norm(area);
    sum.low = std::min({sum.low, a.z, b.z, c.z});
    low = std::min({low, a.z, b.z, c.z});
    high = std::max({high, a.z, b.z, c.z});
    sum.triangles.push_back(i);
  }
  for (std::size_t i = 0; i < sums.size(); ++i) {
    const FaceSum& sum = sums[i];
    BodyFace& face = body.faces[i];
    const double up = sum.area.z / std::max(sum.total, 1e-12);
    if (body.roles_given && face.role == FaceRole::kBottom) continue;
    if (looks_inward(body, sum) > 0.6) {
      face.role = FaceRole::kHole;
    } else if (!body.roles_given && sum.down > 0.766 * sum.total) {
      face.role = FaceRole::kBottom;
    } else if (up > 0.95 && norm(sum.area) > 0.999 * sum.total && sum.low > low + 0.6 * (high - low)) {
      face.role = FaceRole::kTop;
    } else {
      face.role = FaceRole::kUpper;
    }
  }
  note_kinks(body);
}

std::vector<int> feather_edges(const Body& body) {
  std::vector<int> bottom(body.edges.size(), 0);
  std::vector<int> upper(body.edges.size(), 0);
  for (const BodyFace& face : body.faces) {
    for (const BodyLoop& loop : face.loops) {
      for (const EdgeUse& use : loop.uses) {
        if (face.role == FaceRole::kBottom) ++bottom[static_cast<std::size_t>(use.edge)];
        if (face.role == FaceRole::kUpper) ++upper[static_cast<std::size_t>(use.edge)];
      }
    }
  }
  std::vector<int> edges;
  for (std::size_t i = 0; i < body.edges.size(); ++i) {
    if (bottom[i] > 0 && upper[i] > 0) edges.push_back(static_cast<int>(i));
  }
  return edges;
}

std::optional<FeatherPair> feather_at(const Body& body, const std::vector<int>& edges, double x) {
  std::vector<Vec3> crossings;
  for (const RimPiece& rim : body.mesh.rims) {
    if (std::find(edges.begin(), edges.end(), rim.edge) == edges.end()) continue;
    const BSplineCurve3& curve = body.edges[static_cast<std::size_t>(rim.edge)].curve;
    double low = rim.from;
    double high = rim.to;
    const bool below = curve.point(low).x < x;
    if (below == (curve.point(high).x < x)) continue;
    for (int i = 0; i < 60; ++i) {
      const double middle = 0.5 * (low + high);
      ((curve.point(middle).x < x) == below ? low : high) = middle;
    }
    crossings.push_back(curve.point(0.5 * (low + high)));
  }
  if (crossings.size() < 2) return std::nullopt;
  const auto by_y = [](Vec3 a, Vec3 b) { return a.y < b.y; };
  const auto [right, left] = std::minmax_element(crossings.begin(), crossings.end(), by_y);
  return FeatherPair{*left, *right};
}

}  // namespace lastwright
