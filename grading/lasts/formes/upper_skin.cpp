#include "grading/lasts/formes/upper_skin.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <unordered_map>

#include "geometry/flatten/cut_mesh.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr double kWeld =
    1e-3;  // mm: corners of neighbouring faces lie on one edge's curve, whose tolerance this is
constexpr double kSmallHole = 80.0;  // mm round it: a pin hole or the end of a bolt, which leather bridges
constexpr double kBehind = 2.0;  // mm in from an end, where the chord's middle tells the middle of the end
constexpr int kLevels = 24;      // at which the middle of the heel is taken

// Numbers points so that those within kWeld of an earlier one take its number.
class Welder {
 public:
  std::uint32_t number(Vec3 p, std::vector<Vec3>& points) {
    const std::array<std::int64_t, 3> cell{at(p.x), at(p.y), at(p.z)};
    for (std::int64_t i = -1; i <= 1; ++i) {
      for (std::int64_t j = -1; j <= 1; ++j) {
        for (std::int64_t k = -1; k <= 1; ++k) {
          const auto found = cells_.find(key({cell[0] + i, cell[1] + j, cell[2] + k}));
          if (found == cells_.end()) continue;
          for (std::uint32_t n : found->second) {
            if (distance(points[n], p) < kWeld) return n;
          }
        }
      }
    }
    points.push_back(p);
    const auto n = static_cast<std::uint32_t>(points.size() - 1);
    cells_[key(cell)].push_back(n);
    return n;
  }

 private:
  static std::int64_t at(double x) { return static_cast<std::int64_t>(std::floor(x / (4.0 * kWeld))); }
  static std::uint64_t key(const std::array<std::int64_t, 3>& c) {
    std::uint64_t h = 0;
    for (std::int64_t v : c) h = h * 0x9E3779B97F4A7C15ULL + static_cast<std::uint64_t>(v);
    return h;
  }
  std::unordered_map<std::uint64_t, std::vector<std::uint32_t>> cells_;
};

double round_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& loop) {
  return length_of(points, loop) + distance(points[loop.back()], points[loop.front()]);
}

Vec3 mean_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& loop) {
  Vec3 sum;
  for (std::uint32_t i : loop) sum += points[i];
  return sum / static_cast<double>(loop.size());
}

void close_hole(SkinMesh& mesh, const std::vector<std::uint32_t>& loop) {
  const auto middle = static_cast<std::uint32_t>(mesh.points.size());
  mesh.points.push_back(mean_of(mesh.points, loop));
  for (std::size_t i = 0; i < loop.size(); ++i) {
    mesh.triangles.push_back({loop[(i + 1) % loop.size()], loop[i], middle});
  }
}

// Middle of the farthest end of a loop along a direction of the ground: of its chord kBehind before the end.
Vec3 middle_of_end(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& loop, Vec3 along) {
  double most = -1e300;
  for (std::uint32_t i : loop) most = std::max(most, dot(along, points[i]));
  const double at = most - kBehind;
  const Vec3 aside{-along.y, along.x, 0.0};
  Vec3 left;
  Vec3 right;
  bool any = false;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec3 a = points[loop[i]];
    const Vec3 b = points[loop[(i + 1) % loop.size()]];
    const double da = dot(along, a) - at;
    const double db = dot(along, b) - at;
    if ((da < 0.0) == (db < 0.0)) continue;
    const Vec3 p = lerp(a, b, da / (da - db));
    if (!any || dot(aside, p) > dot(aside, left)) left = p;
    if (!any || dot(aside, p) < dot(aside, right)) right = p;
    any = true;
  }
  return 0.5 * (left + right);
}

// (y, z) of the middle of the heel at a level, if the upper is there.
std::optional<double> middle_of_heel(const SkinMesh& mesh, double level) {
  std::vector<std::pair<Vec3, Vec3>> pieces;
  double rear = 1e300;
  for (const Corners& t : mesh.triangles) {
    std::array<Vec3, 2> ends{};
    std::size_t count = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 a = mesh.points[t[k]];
      const Vec3 b = mesh.points[t[(k + 1) % 3]];
      if ((a.z < level) == (b.z < level)) continue;
      if (count < 2) ends[count++] = lerp(a, b, (level - a.z) / (b.z - a.z));
    }
    if (count < 2) continue;
    pieces.emplace_back(ends[0], ends[1]);
    rear = std::min({rear, ends[0].x, ends[1].x});
  }
  const double at = rear + kBehind;
  double low = 1e300;
  double high = -1e300;
  for (const auto& [a, b] : pieces) {
    if ((a.x < at) == (b.x < at)) continue;
    const double y = a.y + (at - a.x) / (b.x - a.x) * (b.y - a.y);
    low = std::min(low, y);
    high = std::max(high, y);
  }
  if (low > high) return std::nullopt;
  return 0.5 * (low + high);
}

double rear_level(const SkinMesh& mesh, const std::vector<std::uint32_t>& loop) {
  const auto rearmost = [&](std::uint32_t a, std::uint32_t b) { return mesh.points[a].x < mesh.points[b].x; };
  return mesh.points[*std::min_element(loop.begin(), loop.end(), rearmost)].z;
}

// By node of a body's mesh the node it is one with: the ends of the sides that two faces have along one piece
// of an edge, however loosely the file lets the faces meet.
std::vector<std::uint32_t> joined_nodes(const Mesh& mesh) {
  std::vector<std::uint32_t> root(mesh.nodes.size());
  std::iota(root.begin(), root.end(), 0U);
  const auto find = [&root](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  const auto join = [&](std::uint32_t a, std::uint32_t b) {
    root[std::max(find(a), find(b))] = std::min(find(a), find(b));
  };
  std::vector<std::int32_t> first(mesh.rims.size(), -1);
  for (std::size_t s = 0; s < mesh.sides.size(); ++s) {
    const MeshSide& side = mesh.sides[s];
    if (side.rim < 0) continue;
    std::int32_t& other = first[static_cast<std::size_t>(side.rim)];
    if (other < 0) {
      other = static_cast<std::int32_t>(s);
      continue;
    }
    const MeshSide& mate = mesh.sides[static_cast<std::size_t>(other)];
    const auto apart = [&](std::uint32_t i, std::uint32_t j) {
      return distance(mesh.nodes[i].point, mesh.nodes[j].point);
    };
    const bool alike =
        apart(side.a, mate.a) + apart(side.b, mate.b) <= apart(side.a, mate.b) + apart(side.b, mate.a);
    join(side.a, alike ? mate.a : mate.b);
    join(side.b, alike ? mate.b : mate.a);
  }
  for (std::uint32_t i = 0; i < root.size(); ++i) root[i] = find(i);
  return root;
}

}  // namespace

namespace {

bool has_top(const Body& body) {
  return std::any_of(body.faces.begin(), body.faces.end(),
                     [](const BodyFace& f) { return f.role == FaceRole::kTop; });
}

// Which face a person would take for the top, and how it lies.
std::string told_highest(const Body& body) {
  if (body.facets) return "no part of it that looks up in its upper half is plane within 0.5 mm";
  struct Sum {
    Vec3 area;
    Vec3 middle;
    double total = 0.0;
  };
  std::vector<Sum> sums(body.faces.size());
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 a = body.mesh.nodes[t.node[0]].point;
    const Vec3 b = body.mesh.nodes[t.node[1]].point;
    const Vec3 c = body.mesh.nodes[t.node[2]].point;
    const Vec3 area = cross(b - a, c - a);
    Sum& sum = sums[static_cast<std::size_t>(t.face)];
    sum.area += area;
    sum.middle += norm(area) * (a + b + c) / 3.0;
    sum.total += norm(area);
  }
  std::size_t best = 0;
  const auto level = [&](std::size_t f) { return sums[f].area.z / std::max(1e-12, sums[f].total); };
  for (std::size_t f = 1; f < sums.size(); ++f) {
    if (level(f) > level(best)) best = f;
  }
  const Sum& sum = sums[best];
  constexpr double kDegrees = 57.29577951308232;  // in a radian
  const Vec3 at = sum.middle / std::max(1e-12, sum.total);
  const double leans = kDegrees * std::acos(std::clamp(unit(sum.area).z, -1.0, 1.0));
  const double bows =
      kDegrees * std::acos(std::clamp(norm(sum.area) / std::max(1e-12, sum.total), -1.0, 1.0));
  return fmt::format(
      "none of its faces is plane, level and high enough to be its top: number {}, about ({:.0f}, {:.0f}, "
      "{:.0f}), comes nearest, leans by {:.0f} degrees and bows by {:.0f}",
      best, at.x, at.y, at.z, leans, bows);
}

// Where the triangles of a skin meet in another way than side to side, or its rims touch, and on which face.
std::string torn_at(const SkinMesh& mesh, const Body& body) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> sides;
  for (const Corners& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) ++sides[{t[k], t[(k + 1) % 3]}];
  }
  std::size_t count = 0;
  std::optional<Vec3> at;
  const char* what = "its faces overlap or look opposite ways along {} of the sides of its triangles";
  for (const auto& [side, times] : sides) {
    if (times < 2) continue;
    ++count;
    if (!at) at = 0.5 * (mesh.points[side.first] + mesh.points[side.second]);
  }
  if (count == 0) {
    what = "its rims touch in {} of their points";
    std::map<std::uint32_t, int> from;
    for (const auto& [side, times] : sides) {
      if (sides.contains({side.second, side.first}) || ++from[side.first] < 2) continue;
      ++count;
      if (!at) at = mesh.points[side.first];
    }
  }
  if (!at) return "it has no triangles";
  int face = 0;
  double nearest = 1e300;
  for (const MeshNode& n : body.mesh.nodes) {
    if (body.faces[static_cast<std::size_t>(n.face)].role != FaceRole::kUpper) continue;
    if (const double off = distance(n.point, *at); off < nearest) {
      nearest = off;
      face = n.face;
    }
  }
  return fmt::format(fmt::runtime(what), count) +
         fmt::format(", first about ({:.1f}, {:.1f}, {:.1f}), on face {}", at->x, at->y, at->z, face);
}

// Where a face narrows to less than kWeld, corners of its two rims would be made one: there the edges alone
// say which corners are one.
enum class WeldBy { kPlace, kEdges };

SkinMesh welded_by(const Body& body, int role, WeldBy by) {
  SkinMesh mesh;
  Welder welder;
  const std::vector<std::uint32_t> one_with = joined_nodes(body.mesh);
  std::vector<std::uint32_t> number(body.mesh.nodes.size(), ~0U);
  for (const Triangle& t : body.mesh.triangles) {
    if (body.faces[static_cast<std::size_t>(t.face)].role != role) continue;
    Corners corners{};
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t node = one_with[t.node[k]];
      std::uint32_t& n = number[node];
      if (n == ~0U) {
        const Vec3 p = body.mesh.nodes[node].point;
        if (by == WeldBy::kPlace) {
          n = welder.number(p, mesh.points);
        } else {
          n = static_cast<std::uint32_t>(mesh.points.size());
          mesh.points.push_back(p);
        }
      }
      corners[k] = n;
    }
    if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) continue;
    mesh.triangles.push_back(corners);
  }
  return mesh;
}

}  // namespace

SkinMesh welded(const Body& body, int role) {
  SkinMesh mesh = welded_by(body, role, WeldBy::kPlace);
  if (!boundary_loops(mesh.triangles).empty()) return mesh;
  SkinMesh by_edges = welded_by(body, role, WeldBy::kEdges);
  return boundary_loops(by_edges.triangles).empty() ? mesh : by_edges;
}

Result<UpperSkin> upper_skin(const Body& body) {
  UpperSkin skin;
  skin.mesh = welded(body, FaceRole::kUpper);
  std::vector<std::vector<std::uint32_t>> loops = boundary_loops(skin.mesh.triangles);
  std::sort(loops.begin(), loops.end(), [&](const auto& a, const auto& b) {
    return round_of(skin.mesh.points, a) > round_of(skin.mesh.points, b);
  });
  while (loops.size() > 2 && round_of(skin.mesh.points, loops.back()) < kSmallHole) {
    const Vec3 at = mean_of(skin.mesh.points, loops.back());
    skin.notes.push_back(
        fmt::format("a hole in the upper is bridged at ({:.1f}, {:.1f}, {:.1f})", at.x, at.y, at.z));
    close_hole(skin.mesh, loops.back());
    loops.pop_back();
  }
  if (loops.size() != 2) {
    std::string rims;
    for (const auto& loop : loops) {
      const Vec3 at = mean_of(skin.mesh.points, loop);
      rims += fmt::format("{}one of {:.0f} mm about ({:.0f}, {:.0f}, {:.0f})", rims.empty() ? "" : ", ",
                          round_of(skin.mesh.points, loop), at.x, at.y, at.z);
    }
    const std::string top = has_top(body) ? std::string() : "; " + told_highest(body);
    return Problem{
        Trouble::kGeometry,
        loops.empty()
            ? "the upper of the last does not hang together: " + torn_at(skin.mesh, body) + top +
                  " (rims of the upper)"
            : fmt::format(
                  "the upper of the last is no ring between its featherline and its top line: "
                  "its rims are {}; a cone that is cut down to its side or a last without a plane top has no "
                  "top line{} (rims of the upper)",
                  rims, top),
        {},
        static_cast<double>(loops.size()),
        2.0};
  }
  const bool first_is_low = mean_of(skin.mesh.points, loops[0]).z < mean_of(skin.mesh.points, loops[1]).z;
  skin.feather = std::move(loops[first_is_low ? 0 : 1]);
  skin.top = std::move(loops[first_is_low ? 1 : 0]);
  return skin;
}

std::function<double(Vec3)> middle_sheet(const UpperSkin& skin, Vec3 toe) {
  const Vec3 centre = mean_of(skin.mesh.points, skin.top);
  Vec3 ahead = toe - centre;
  ahead.z = 0.0;
  const Vec3 front = middle_of_end(skin.mesh.points, skin.top, unit(ahead));
  const Vec3 rear = middle_of_end(skin.mesh.points, skin.top, {-1, 0, 0});
  const double slope = (front.y - toe.y) / (front.x - toe.x);

  // A cubic through the middles of the heel, by least squares.
  const double low = rear_level(skin.mesh, skin.feather) + 1.0;
  const double high = rear_level(skin.mesh, skin.top) - 1.0;
  Eigen::Matrix4d normal = 1e-9 * Eigen::Matrix4d::Identity();
  Eigen::Vector4d right = Eigen::Vector4d::Zero();
  const auto powers = [low, high](double z) {
    const double t = 2.0 * (z - low) / (high - low) - 1.0;
    return Eigen::Vector4d(1.0, t, t * t, t * t * t);
  };
  for (int i = 0; i < kLevels; ++i) {
    const double z = low + (high - low) * i / (kLevels - 1);
    const std::optional<double> y = middle_of_heel(skin.mesh, z);
    if (!y) continue;
    normal += powers(z) * powers(z).transpose();
    right += *y * powers(z);
  }
  const Eigen::Vector4d cubic = normal.ldlt().solve(right);
  // Between the two the skin lies far to the sides, and the sheet only has to be somewhere between.
  const double from = rear.x + 0.2 * (front.x - rear.x);
  const double to = rear.x + 0.8 * (front.x - rear.x);
  return [=](Vec3 p) {
    const double share = std::clamp((p.x - from) / (to - from), 0.0, 1.0);
    // Below and above the heel the line goes on level.
    const double back = cubic.dot(powers(std::clamp(p.z, low, high)));
    return p.y - (1.0 - share) * back - share * (toe.y + slope * (p.x - toe.x));
  };
}

}  // namespace lastwright
