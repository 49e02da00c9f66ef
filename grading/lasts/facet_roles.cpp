#include "grading/lasts/facet_roles.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr double kLooksDown = 0.7;   // of the unit normal along the bottom's own way down: 45 degrees
constexpr double kLooksUp = 0.94;    // 20 degrees: top planes tilt
constexpr double kLeastTop = 300.0;  // mm2: a smaller plane is no top
constexpr double kFlat = 0.5;        // mm: how plane a top is
constexpr double kSpeck = 30.0;      // mm2: smaller islands in the bottom belong to it

std::size_t slot(std::int32_t i) {
  return static_cast<std::size_t>(i);
}

// Which way each triangle looks, its neighbours taken in twice: noise of a scan parts no plane then.
std::vector<Vec3> smoothed_looks(const Mesh& mesh, const Neighbours& neighbours) {
  std::vector<Vec3> looks;
  for (const Triangle& t : mesh.triangles) looks.push_back(area_of(mesh, t));
  for (int round = 0; round < 2; ++round) {
    std::vector<Vec3> sum = looks;
    for (const auto& [a, b] : neighbours) {
      if (a < 0 || b < 0) continue;
      sum[slot(a)] += looks[slot(b)];
      sum[slot(b)] += looks[slot(a)];
    }
    looks = std::move(sum);
  }
  return looks;
}

// The largest connected part of what has this mark; -1 where nothing has.
std::int32_t largest_marked(const Parts& parts, const std::vector<int>& marks, int mark = 1) {
  std::int32_t best = -1;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const std::int32_t part = parts.of[i];
    if (marks[i] == mark && (best < 0 || parts.area[slot(part)] > parts.area[slot(best)])) best = part;
  }
  return best;
}

// Bottom and upper in one part each: a part that is cut off belongs to what surrounds it. First the bottom's,
// such as one under a hook, in a hole or on a wall that leans out over it; what such a part had cut off of
// the upper is one with the upper then, and only what the bottom itself surrounds is left to become bottom.
void join_islands(const Mesh& mesh, const Neighbours& neighbours, std::vector<int>& marks) {
  const Parts bottoms = parts_of(mesh, neighbours, marks);
  const std::int32_t bottom = largest_marked(bottoms, marks, 1);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (bottoms.of[i] != bottom) marks[i] = 0;
  }
  const Parts uppers = parts_of(mesh, neighbours, marks);
  const std::int32_t upper = largest_marked(uppers, marks, 0);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (marks[i] == 0 && uppers.of[i] != upper && uppers.area[slot(uppers.of[i])] < kSpeck) marks[i] = 1;
  }
}

// Where the featherline passes from one row of facets to the next, the last one of a row may hang on it by
// one side alone, with a point that the line runs out to and back from: it goes to the other side of the
// line.
void drop_teeth(const Mesh& mesh, const Neighbours& neighbours, std::vector<int>& marks) {
  constexpr double kPointed = 0.866;  // cosine of 30 degrees
  constexpr int kRounds = 3;          // one row of facets each
  for (int round = 0; round < kRounds; ++round) {
    std::vector<std::size_t> teeth;
    for (std::size_t i = 0; i < marks.size(); ++i) {
      const Triangle& t = mesh.triangles[i];
      std::array<bool, 3> parted{};
      for (std::size_t k = 0; k < 3; ++k) {
        const auto [a, b] = neighbours[t.side[k]];
        parted[k] = a >= 0 && b >= 0 && marks[slot(a)] != marks[slot(b)];
      }
      if (parted[0] + parted[1] + parted[2] != 2) continue;
      const std::size_t held = !parted[0] ? 0 : !parted[1] ? 1 : 2;
      const Vec3 tip = mesh.nodes[t.node[(held + 2) % 3]].point;
      const Vec3 one = mesh.nodes[t.node[held]].point - tip;
      const Vec3 other = mesh.nodes[t.node[(held + 1) % 3]].point - tip;
      if (dot(one, other) > kPointed * norm(one) * norm(other)) teeth.push_back(i);
    }
    if (teeth.empty()) return;
    for (const std::size_t i : teeth) marks[i] = 1 - marks[i];
  }
}

// Whether a facet that leans goes down from the plane: the first one of a wall that slopes gently, as in
// front of a round cone. It would notch the rim by as much as it is long.
bool leaves_plane(const Mesh& mesh, const Triangle& t, Vec3 normal, Vec3 centre) {
  constexpr double kLeaves = 0.2;  // mm
  return std::any_of(t.node.begin(), t.node.end(), [&](std::uint32_t n) {
    return std::abs(dot(normal, mesh.nodes[n].point - centre)) > kLeaves;
  });
}

// Marks 2 on the largest plane part that looks up, if there is one worth the name.
void mark_top(const Mesh& mesh, const Neighbours& neighbours, std::vector<int>& marks, double middle) {
  constexpr double kWithPlane = 0.6;  // of the plane's normal: rough facets, but no wall
  constexpr double kPlanePart = 0.8;  // of what looks up: less is a dome
  const std::vector<Vec3> looks = smoothed_looks(mesh, neighbours);
  std::vector<int> up(marks.size(), 0);
  for (std::size_t i = 0; i < marks.size(); ++i)
    up[i] = looks[i].z > kLooksUp * norm(looks[i]) && centre_of(mesh, mesh.triangles[i]).z > middle ? 1 : 0;
  const Parts seeds = parts_of(mesh, neighbours, up);
  const std::int32_t seed = largest_marked(seeds, up);
  if (seed < 0 || seeds.area[slot(seed)] < kLeastTop) return;
  // Through noise the walls beside the rim count among what looks up, and tilt the plane: where it takes in
  // too little it is laid anew through what it has taken in.
  Parts parts = seeds;
  std::int32_t best = seed;
  for (int round = 0; round < 3; ++round) {
    Vec3 normal;
    Vec3 centre;
    for (std::size_t i = 0; i < up.size(); ++i) {
      if (parts.of[i] != best) continue;
      const Vec3 area = area_of(mesh, mesh.triangles[i]);
      normal += area;
      centre += norm(area) * centre_of(mesh, mesh.triangles[i]);
    }
    centre = centre / parts.area[slot(best)];
    normal = unit(normal);
    for (std::size_t i = 0; i < up.size(); ++i) {
      const Vec3 area = area_of(mesh, mesh.triangles[i]);
      const bool leans = !(dot(area, normal) > kLooksUp * norm(area));
      up[i] = dot(area, normal) > kWithPlane * norm(area) &&
                      std::abs(dot(normal, centre_of(mesh, mesh.triangles[i]) - centre)) < kFlat &&
                      !(leans && leaves_plane(mesh, mesh.triangles[i], normal, centre))
                  ? 1
                  : 0;
    }
    parts = parts_of(mesh, neighbours, up);
    best = largest_marked(parts, up);
    if (best < 0 || parts.area[slot(best)] >= kPlanePart * seeds.area[slot(seed)]) break;
  }
  if (best < 0 || parts.area[slot(best)] < kPlanePart * seeds.area[slot(seed)]) return;
  for (std::size_t i = 0; i < up.size(); ++i) {
    if (parts.of[i] == best) marks[i] = 2;
  }
  // Specks in the top, which look elsewhere for their roughness, belong to it.
  const Parts after = parts_of(mesh, neighbours, marks);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (marks[i] == 0 && after.area[slot(after.of[i])] < kSpeck &&
        centre_of(mesh, mesh.triangles[i]).z > middle)
      marks[i] = 2;
  }
}

// Marks 3 on what is cut off from the upper: walls and floors of holes, in the top or in the bottom. Whether
// there are any.
bool mark_holes(const Mesh& mesh, const Neighbours& neighbours, std::vector<int>& marks) {
  const Parts parts = parts_of(mesh, neighbours, marks);
  const std::int32_t upper = largest_marked(parts, marks, 0);
  bool any = false;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (marks[i] != 0 || parts.of[i] == upper) continue;
    marks[i] = 3;
    any = true;
  }
  return any;
}

void make_rims(Body& body, const Neighbours& neighbours) {
  Mesh& mesh = body.mesh;
  body.edges.clear();
  mesh.rims.clear();
  for (BodyFace& face : body.faces) face.loops.assign(1, {});
  for (std::size_t s = 0; s < mesh.sides.size(); ++s) {
    MeshSide& side = mesh.sides[s];
    side.rim = -1;
    const auto [a, b] = neighbours[s];
    if (a < 0 || b < 0) continue;
    const Triangle& one = mesh.triangles[slot(a)];
    const Triangle& other = mesh.triangles[slot(b)];
    if (one.face == other.face) continue;
    BodyEdge edge;
    edge.curve.knots = clamped_knots(1, {0.0, 1.0});
    edge.curve.poles = {mesh.nodes[side.a].point, mesh.nodes[side.b].point};
    edge.kink = std::acos(std::clamp(dot(unit(area_of(mesh, one)), unit(area_of(mesh, other))), -1.0, 1.0));
    const int index = static_cast<int>(body.edges.size());
    body.edges.push_back(std::move(edge));
    side.rim = static_cast<std::int32_t>(mesh.rims.size());
    mesh.rims.push_back({index, 0.0, 1.0});
    for (std::int32_t face : {one.face, other.face})
      body.faces[slot(face)].loops[0].uses.push_back({index, true});
  }
}

}  // namespace

void find_facet_roles(Body& body) {
  Mesh& mesh = body.mesh;
  const Neighbours neighbours = neighbours_of(mesh);
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  std::vector<int> marks(mesh.triangles.size(), 0);
  const BottomWay way(body);  // the shank of a high heel looks ahead as much as down
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const Vec3 area = area_of(mesh, mesh.triangles[i]);
    const Vec3 up = way.up(centre_of(mesh, mesh.triangles[i]).x);
    marks[i] = -dot(area, up) > kLooksDown * norm(area) ? 1 : 0;
    low = std::min(low, centre_of(mesh, mesh.triangles[i]).z);
    high = std::max(high, centre_of(mesh, mesh.triangles[i]).z);
  }
  join_islands(mesh, neighbours, marks);
  drop_teeth(mesh, neighbours, marks);
  join_islands(mesh, neighbours, marks);  // teeth that turned side by side
  mark_top(mesh, neighbours, marks, 0.5 * (low + high));
  const bool holes = mark_holes(mesh, neighbours, marks);
  constexpr std::array<int, 4> kRoles{FaceRole::kUpper, FaceRole::kBottom, FaceRole::kTop, FaceRole::kHole};
  body.faces.assign(holes ? 4 : 3, {});
  for (std::size_t i = 0; i < body.faces.size(); ++i) body.faces[i].role = kRoles[i];
  for (std::size_t i = 0; i < marks.size(); ++i) mesh.triangles[i].face = marks[i];
  // No bottom: said by who asked.
  if (std::find(marks.begin(), marks.end(), 1) == marks.end()) body.faces[1].role = FaceRole::kUpper;
  for (MeshNode& n : mesh.nodes) n.face = mesh.triangles[static_cast<std::size_t>(n.u)].face;
  make_rims(body, neighbours);
}

}  // namespace lastwright
