#include "grading/lasts/roles.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/facet_roles.hpp"

namespace lastwright {

namespace {

struct FaceSum {
  Vec3 area;           // sum of outward area vectors
  double down = 0.0;   // of how far it looks the bottom's own way down
  double total = 0.0;  // sum of their lengths
  double low = std::numeric_limits<double>::infinity();
  double right = std::numeric_limits<double>::infinity();  // smallest y
  double left = -std::numeric_limits<double>::infinity();  // largest
  std::vector<std::size_t> triangles;
  [[nodiscard]] double up() const { return area.z / std::max(total, 1e-12); }
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

// The triangles of a mesh in runs, as they follow each other in it, each with its box: a ray passes by most
// of the boxes.
class Runs {
 public:
  explicit Runs(const Mesh& mesh) : mesh_(mesh) {
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
      if (i % kRun == 0) boxes_.emplace_back();
      for (std::uint32_t n : mesh.triangles[i].node) {
        const Vec3 p = mesh.nodes[n].point;
        Box& box = boxes_.back();
        box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
        box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
      }
    }
  }

  [[nodiscard]] bool any_hit(Vec3 from, Vec3 along) const {
    for (std::size_t b = 0; b < boxes_.size(); ++b) {
      if (!reaches(boxes_[b], from, along)) continue;
      const std::size_t end = std::min(mesh_.triangles.size(), (b + 1) * kRun);
      for (std::size_t i = b * kRun; i < end; ++i) {
        if (hits(mesh_, mesh_.triangles[i], from, along)) return true;
      }
    }
    return false;
  }

 private:
  static constexpr std::size_t kRun = 64;
  struct Box {
    Vec3 low{1e300, 1e300, 1e300};
    Vec3 high{-1e300, -1e300, -1e300};
  };
  static bool reaches(const Box& box, Vec3 from, Vec3 along) {
    constexpr double kWider = 1e-3;  // mm
    double enter = 0.0;
    double leave = std::numeric_limits<double>::infinity();
    for (const double Vec3::*axis : {&Vec3::x, &Vec3::y, &Vec3::z}) {
      const double low = box.low.*axis - kWider - from.*axis;
      const double high = box.high.*axis + kWider - from.*axis;
      const double way = along.*axis;
      if (std::abs(way) < 1e-12) {
        if (low > 0.0 || high < 0.0) return false;
        continue;
      }
      enter = std::max(enter, std::min(low / way, high / way));
      leave = std::min(leave, std::max(low / way, high / way));
    }
    return enter <= leave;
  }

  const Mesh& mesh_;
  std::vector<Box> boxes_;
};

// Share of a face's triangles from which the way straight out meets the body again.
double looks_inward(const Mesh& mesh, const Runs& runs, const FaceSum& sum) {
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
    met += runs.any_hit((a + b + c) / 3.0, out);
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

// Where no face is plane, the top is the largest that lies high, goes across the middle and is bowed by a few
// degrees only: one of ruled lines, or one that a grade has bent.
void find_bowed_top(Body& body, const std::vector<FaceSum>& sums, double least_low) {
  constexpr double kLevel = 0.87;         // 30 degrees
  constexpr double kNearlyPlane = 0.995;  // 6 degrees in the mean
  constexpr double kLeastTop = 300.0;     // mm2
  constexpr double kAside = 0.25;         // of its width: patches of a wall lie to one side
  const FaceSum* best = nullptr;
  for (std::size_t i = 0; i < sums.size(); ++i) {
    const FaceSum& sum = sums[i];
    if (body.faces[i].role == FaceRole::kTop) return;
    if (body.faces[i].role != FaceRole::kUpper || sum.low < least_low || sum.total < kLeastTop) continue;
    if (sum.up() < kLevel || norm(sum.area) < kNearlyPlane * sum.total) continue;
    if (0.5 * std::abs(sum.left + sum.right) > kAside * (sum.left - sum.right)) continue;
    if (!best || sum.total > best->total) best = &sum;
  }
  if (best) body.faces[static_cast<std::size_t>(best - sums.data())].role = FaceRole::kTop;
}

// What is cut off from the upper by top, holes and edges is no upper: floors and chamfers of holes, which
// look out of them. The upper's faces hang together by edges; a part of them that meets the bottom is kept.
void find_hole_floors(Body& body, const std::vector<FaceSum>& sums) {
  const std::size_t count = body.faces.size();
  std::vector<std::size_t> leader(count);
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto first_of = [&leader](std::size_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  std::vector<std::size_t> user(body.edges.size(), count);
  std::vector<bool> at_bottom(body.edges.size(), false);
  for (std::size_t f = 0; f < count; ++f) {
    for (const BodyLoop& loop : body.faces[f].loops) {
      for (const EdgeUse& use : loop.uses) {
        const auto edge = static_cast<std::size_t>(use.edge);
        if (body.faces[f].role == FaceRole::kBottom) at_bottom[edge] = true;
        if (body.faces[f].role != FaceRole::kUpper) continue;
        if (user[edge] < count) leader[first_of(f)] = first_of(user[edge]);
        user[edge] = f;
      }
    }
  }
  std::vector<double> area(count, 0.0);
  std::vector<bool> keeps(count, false);
  for (std::size_t f = 0; f < count; ++f) {
    if (body.faces[f].role == FaceRole::kUpper) area[first_of(f)] += sums[f].total;
  }
  for (std::size_t edge = 0; edge < user.size(); ++edge) {
    if (user[edge] < count && at_bottom[edge]) keeps[first_of(user[edge])] = true;
  }
  keeps[static_cast<std::size_t>(std::max_element(area.begin(), area.end()) - area.begin())] = true;
  for (std::size_t f = 0; f < count; ++f) {
    BodyFace& face = body.faces[f];
    if (face.role == FaceRole::kUpper && !keeps[first_of(f)]) face.role = FaceRole::kHole;
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
  // The walls of heel and toe lean out over their ends, and triangles are looked at one by one: there the
  // bottom goes on as it comes.
  if (body.facets) {
    constexpr std::size_t kEnd = 2;
    for (std::size_t i = 0; i < kEnd; ++i) {
      sums[i] = sums[kEnd];
      sums[sums.size() - 1 - i] = sums[sums.size() - 1 - kEnd];
    }
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
    sum.right = std::min({sum.right, a.y, b.y, c.y});
    sum.left = std::max({sum.left, a.y, b.y, c.y});
    low = std::min({low, a.z, b.z, c.z});
    high = std::max({high, a.z, b.z, c.z});
    sum.triangles.push_back(i);
  }
  const Runs runs(mesh);
  const double least_low = low + 0.6 * (high - low);  // of a top
  for (std::size_t i = 0; i < sums.size(); ++i) {
    const FaceSum& sum = sums[i];
    BodyFace& face = body.faces[i];
    if (body.roles_given && face.role == FaceRole::kBottom) continue;
    if (looks_inward(mesh, runs, sum) > 0.6) {
      face.role = FaceRole::kHole;
    } else if (!body.roles_given && sum.down > 0.766 * sum.total) {
      face.role = FaceRole::kBottom;
    } else if (sum.up() > 0.95 && norm(sum.area) > 0.999 * sum.total && sum.low > least_low) {
      face.role = FaceRole::kTop;
    } else {
      face.role = FaceRole::kUpper;
    }
  }
  find_bowed_top(body, sums, least_low);
  find_hole_floors(body, sums);
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
    if (!std::binary_search(edges.begin(), edges.end(), rim.edge)) continue;
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
