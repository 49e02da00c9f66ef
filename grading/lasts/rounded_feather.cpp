#include "grading/lasts/rounded_feather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/feather_ring.hpp"

namespace lastwright {

namespace {

constexpr double kAllRound = 0.85;   // a larger share of the featherline in faces: the edge is rounded
constexpr double kPartRound = 0.12;  // less: sharp, but for what a pointed toe or a hollow waist leaves
constexpr double kFineRing =
    0.25;  // mm: triangles the line is followed on; its points are on the surface itself

// Whether edges between bottom and upper faces run all along the line.
bool has_edges_along(Body& posed, const std::vector<RingPoint>& line) {
  constexpr double kAlong = 0.8;  // mm: the line may lie off the surface; where no edge runs, it is far more
  find_roles(posed);
  const std::vector<int> feather = feather_edges(posed);
  std::vector<std::pair<Vec3, Vec3>> pieces;
  for (const RimPiece& rim : posed.mesh.rims) {
    if (std::find(feather.begin(), feather.end(), rim.edge) == feather.end()) continue;
    const BSplineCurve3& curve = posed.edges[static_cast<std::size_t>(rim.edge)].curve;
    constexpr int kParts = 4;  // chords of a coarse mesh
    for (int i = 0; i < kParts; ++i) {
      const auto at = [&](int k) { return curve.point(rim.from + (rim.to - rim.from) * k / kParts); };
      pieces.emplace_back(at(i), at(i + 1));
    }
  }
  return std::all_of(line.begin(), line.end(), [&](const RingPoint& q) {
    return std::any_of(pieces.begin(), pieces.end(), [&](const auto& piece) {
      const Vec3 way = piece.second - piece.first;
      const double square = dot(way, way);
      const double t = square > 0.0 ? std::clamp(dot(q.p - piece.first, way) / square, 0.0, 1.0) : 0.0;
      return distance(q.p, piece.first + t * way) < kAlong;
    });
  });
}

// Whether bottom and upper faces meet inside the rounding
// already, as in a file of our own: not where it begins.
bool is_parted(Body& posed) {
  constexpr double kInRounding = 0.927;  // cosine of 22 degrees: half of what a leaning toe wall turns
  constexpr double kMostOfIt = 0.85;
  find_roles(posed);
  const std::vector<int> feather = feather_edges(posed);
  const BottomWay way(posed);
  const Mesh& mesh = posed.mesh;
  double inside = 0.0;
  double all = 0.0;
  for (const Triangle& t : mesh.triangles) {
    for (std::uint32_t index : t.side) {
      const MeshSide& side = mesh.sides[index];
      if (side.rim < 0) continue;
      const int edge = mesh.rims[static_cast<std::size_t>(side.rim)].edge;
      if (std::find(feather.begin(), feather.end(), edge) == feather.end()) continue;
      const MeshNode& a = mesh.nodes[side.a];
      const MeshNode& b = mesh.nodes[side.b];
      const Vec3 n = posed.normal_at({t.face, 0.5 * (a.u + b.u), 0.5 * (a.v + b.v)});
      const double length = distance(a.point, b.point);
      all += length;
      if (-dot(n, way.up(0.5 * (a.point.x + b.point.x))) < kInRounding) inside += length;
    }
  }
  return all > 0.0 && inside > kMostOfIt * all;
}

// The motion undone: its rows are unit and square to each other.
Vec3 back_from(const Motion& motion, Vec3 p) {
  return p.x * motion.rows[0] + p.y * motion.rows[1] + p.z * motion.rows[2];
}

// What can be done about a featherline that is not found: no face can be named where one holds wall and
// bottom.
std::string way_out(const Body& posed) {
  constexpr double kOfBoth = 0.15;  // of a face: more than the rounding alone
  const BottomWay way(posed);
  const std::vector<double> value = bottomness_of_nodes(posed, way);
  const std::vector<bool> low = low_triangles(posed);
  std::vector<std::array<double, 2>> areas(posed.faces.size());  // of wall and bottom
  for (std::size_t i = 0; i < low.size(); ++i) {
    const Triangle& t = posed.mesh.triangles[i];
    const bool bottom = low[i] && value[t.node[0]] + value[t.node[1]] + value[t.node[2]] > 0.0;
    areas[static_cast<std::size_t>(t.face)][bottom ? 1 : 0] += norm(area_of(posed.mesh, t));
  }
  for (std::size_t f = 0; f < areas.size(); ++f) {
    const double all = areas[f][0] + areas[f][1];
    if (std::min(areas[f][0], areas[f][1]) > kOfBoth * all)
      return fmt::format(
          "upper and bottom are one face (number {}): draw the featherline on it where the last was made, "
          "and split "
          "the face there",
          f);
  }
  return "name the faces of the bottom by hand (\"bottom\" of a base, --bottom)";
}

}  // namespace

FeatherKind feather_kind(const Body& body) {
  FeatherKind kind;
  const BottomWay way(body);
  const std::vector<double> value = bottomness_of_nodes(body, way);
  const std::vector<bool> low = low_triangles(body);
  const Mesh& mesh = body.mesh;
  std::vector<int> first(mesh.rims.size(), 0);  // 1: seen from the bottom; -1: from a wall
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    if (!low[i]) continue;
    const Triangle& t = mesh.triangles[i];
    std::array<Vec3, 2> ends;
    std::size_t n = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t.node[k];
      const std::uint32_t b = t.node[(k + 1) % 3];
      if ((value[a] > 0.0) != (value[b] > 0.0) && n < 2)
        ends[n++] = lerp(mesh.nodes[a].point, mesh.nodes[b].point, value[a] / (value[a] - value[b]));
      const std::int32_t rim = mesh.sides[t.side[k]].rim;
      if (rim < 0) continue;
      const int here = value[a] + value[b] > 0.0 ? 1 : -1;
      int& other = first[static_cast<std::size_t>(rim)];
      if (other == 0) {
        other = here;
      } else if (other != here) {
        kind.sharp += distance(mesh.nodes[a].point, mesh.nodes[b].point);
      }
    }
    if (n == 2) kind.round += distance(ends[0], ends[1]);
  }
  return kind;
}

Result<KernelShape> with_featherline(const KernelShape& shape, Body& body, const StandOptions& options) {
  if (body.roles_given) return shape;
  Body posed = body;
  const Result<Standing> standing = stand_pose(posed, options);
  if (!standing) return shape;  // told by who stands it
  const FeatherKind kind = feather_kind(posed);
  if (kind.round_share() < kAllRound) {
    if (kind.round_share() > kPartRound) {
      body.notes.push_back(fmt::format(
          "the feather edge is rounded on {:.0f} % of its length: there the featherline runs where the "
          "bottom's faces end",
          100.0 * kind.round_share()));
    }
    return shape;
  }
  if (is_parted(posed)) return shape;
  Result<Body> fine = to_body(shape, kFineRing);
  if (!fine) return fine.problem();
  move(*fine, standing->motion);
  const std::vector<RingPoint> line = feather_ring(*fine);
  double low = standing->length;
  double high = 0.0;
  for (const RingPoint& q : line) {
    low = std::min(low, q.p.x);
    high = std::max(high, q.p.x);
  }
  if (!(high - low > 0.8 * standing->length)) {
    return Problem{Trouble::kGeometry,
                   "the feather edge is rounded, and no line follows it all round; " + way_out(posed),
                   {},
                   std::max(0.0, high - low),
                   0.8 * standing->length};
  }
  std::vector<Vec3> points;
  std::vector<Vec3> across;
  for (const RingPoint& q : line) {
    points.push_back(back_from(standing->motion, q.p - standing->motion.shift));
    across.push_back(back_from(standing->motion, q.normal));
  }
  // Where a sheet runs along an edge of the faces, a lower or higher one may not.
  for (const double reach : {0.8, 0.4, 1.6, 3.0}) {
    Result<KernelShape> parted = parted_along(shape, points, across, reach,
                                              "the feather edge is rounded: its featherline runs where the "
                                              "surface has turned halfway from the bottom to "
                                              "the wall, and the faces were parted there");
    if (!parted) continue;
    Result<Body> now = to_body(*parted, kMeasuringMesh);
    if (!now) continue;
    Body stood = *now;
    move(stood, standing->motion);
    if (!has_edges_along(stood, line)) continue;
    body = std::move(*now);
    return parted;
  }
  return Problem{
      Trouble::kGeometry,
      "the feather edge is rounded, and the solid kernel cannot part its faces all along the featherline; " +
          way_out(posed),
      {},
      {},
      {}};
}

}  // namespace lastwright
