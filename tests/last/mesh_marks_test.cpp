// What noise, overhangs and holes of a mesh do to its faces, and which way its bottom looks.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_parts.hpp"
#include "geometry/solid/smooth_normal.hpp"
#include "grading/lasts/facet_roles.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/grid_block.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

double between(double low, double high) {
  return low + (high - low) * 1e-3 * *rc::gen::inRange(0, 1001);
}

Body faces_of(const PlainMesh& mesh) {
  Result<Body> body = mesh_body(mesh);
  RC_ASSERT(body.ok());
  find_facet_roles(*body);
  return std::move(*body);
}

// How many connected parts the facets of a role make.
std::size_t parts_with(const Body& body, int role) {
  std::vector<int> marks;
  for (const Triangle& t : body.mesh.triangles)
    marks.push_back(body.faces[static_cast<std::size_t>(t.face)].role == role ? 1 : 0);
  const Parts parts = parts_of(body.mesh, neighbours_of(body.mesh), marks);
  std::vector<bool> has(parts.area.size(), false);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (marks[i] == 1) has[static_cast<std::size_t>(parts.of[i])] = true;
  }
  return static_cast<std::size_t>(std::count(has.begin(), has.end(), true));
}

}  // namespace

TEST_CASE("bottom and upper of a mesh each hang together, however a wall leans out and wanders",
          "[last][mesh]") {
  int overhung = 0;
  test::holds_for_all(
      "no part of bottom or upper is cut off from the rest of it",
      [&overhung] {
        constexpr std::array<int, 3> kMost{24, 8, 8};
        const double lean = between(30.0, 40.0) * 3.14159265 / 180.0;  // from upright
        const double noise = between(0.5, 1.5);                        // mm, of rows of 5 mm
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const double out = 5.0 * at[2] * std::tan(lean);
          const bool wall = at[2] > 0 && at[2] < kMost[2];
          const double by = wall ? between(-noise, noise) : 0.0;
          return Vec3{(60.0 + out) * (2.0 * at[0] / kMost[0] - 1.0),
                      (20.0 + out) * (2.0 * at[1] / kMost[1] - 1.0), 5.0 * at[2] + by};
        });
        const Body body = faces_of(mesh);
        // Facets of the wall, above its first row, that look down as a bottom does.
        overhung +=
            std::any_of(body.mesh.triangles.begin(), body.mesh.triangles.end(), [&](const Triangle& t) {
              const Vec3 area = area_of(body.mesh, t);
              return centre_of(body.mesh, t).z > 8.0 && area.z < -0.75 * norm(area);
            });
        RC_ASSERT(parts_with(body, FaceRole::kBottom) == 1);
        RC_ASSERT(parts_with(body, FaceRole::kUpper) == 1);
      },
      20);
  CHECK(overhung > 0);
}

TEST_CASE("walls and floor of a hole in the top of a mesh are no upper", "[last][mesh]") {
  test::holds_for_all(
      "nothing of the upper lies within the rim of the top",
      [] {
        constexpr std::array<int, 3> kMost{24, 12, 6};
        const int first = *rc::gen::inRange(3, 12);
        const int wide = *rc::gen::inRange(3, 8);
        const double deep = between(3.0, 58.0);
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const bool sunk =
              at[2] == kMost[2] && at[0] >= first && at[0] < first + wide && at[1] > 3 && at[1] < 9;
          return Vec3{5.0 * at[0], 4.0 * at[1] - 24.0, 10.0 * at[2] - (sunk ? deep : 0.0)};
        });
        const Body body = faces_of(mesh);
        int holed = 0;
        for (const Triangle& t : body.mesh.triangles) {
          const Vec3 p = centre_of(body.mesh, t);
          const int role = body.faces[static_cast<std::size_t>(t.face)].role;
          holed += role == FaceRole::kHole;
          const bool inside = p.x > 1.0 && p.x < 119.0 && std::abs(p.y) < 23.0;
          RC_ASSERT(!(inside && role == FaceRole::kUpper));
        }
        RC_ASSERT(holed > 0);
        RC_ASSERT(parts_with(body, FaceRole::kUpper) == 1);
      },
      20);
}

TEST_CASE("floors and chamfers of holes in the top of a solid are no upper", "[last][hole]") {
  test::holds_for_all(
      "no face within the rim of the top is upper, whatever it looks at",
      [] {
        constexpr std::array<int, 3> kMost{24, 12, 6};
        const int first = *rc::gen::inRange(3, 12);
        const int wide = *rc::gen::inRange(3, 8);
        const double deep = between(1.0, 55.0);
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const bool sunk =
              at[2] == kMost[2] && at[0] >= first && at[0] < first + wide && at[1] > 3 && at[1] < 9;
          return Vec3{5.0 * at[0], 4.0 * at[1] - 24.0, 10.0 * at[2] - (sunk ? deep : 0.0)};
        });
        Result<Body> made = mesh_body(mesh);
        RC_ASSERT(made.ok());
        Body& body = *made;
        body.facets = false;  // faces instead: walls, bottom, top, and of the hole walls and floor
        enum : int { kWalls, kUnder, kOver, kHoleWalls, kFloor };
        for (Triangle& t : body.mesh.triangles) {
          const Vec3 p = centre_of(body.mesh, t);
          const bool aside = p.x < 0.01 || p.x > 119.99 || std::abs(p.y) > 23.99;
          t.face = aside ? kWalls : p.z < 0.01 ? kUnder : p.z > 59.99 ? kOver : kHoleWalls;
          if (!aside && t.face == kHoleWalls && std::abs(p.z - (60.0 - deep)) < 1e-6) t.face = kFloor;
        }
        body.faces.assign(5, {});
        const Neighbours beside = neighbours_of(body.mesh);
        for (const auto& [a, b] : beside) {
          const int one = body.mesh.triangles[static_cast<std::size_t>(a)].face;
          const int other = body.mesh.triangles[static_cast<std::size_t>(b)].face;
          if (one == other) continue;
          for (const int f : {one, other}) {
            BodyFace& face = body.faces[static_cast<std::size_t>(f)];
            if (face.loops.empty()) face.loops.emplace_back();
            face.loops[0].uses.push_back({static_cast<int>(body.edges.size()), true});
          }
          body.edges.emplace_back();
        }
        find_roles(body);
        RC_ASSERT(body.faces[kWalls].role == FaceRole::kUpper);
        RC_ASSERT(body.faces[kUnder].role == FaceRole::kBottom);
        RC_ASSERT(body.faces[kOver].role == FaceRole::kTop);
        RC_ASSERT(body.faces[kHoleWalls].role == FaceRole::kHole);
        RC_ASSERT(body.faces[kFloor].role != FaceRole::kUpper);
      },
      20);
}

TEST_CASE("a mesh looks the way of the surface that its corners lie on", "[last][mesh]") {
  test::holds_for_all(
      "on surfaces of the third degree exactly, and with noise within what it does to so many corners",
      [] {
        constexpr std::array<int, 3> kMost{30, 30, 2};
        const double noise = *rc::gen::element(0.0, 0.02);
        std::array<double, 7> k{};  // of x2, xy, y2, and of the third degree
        for (std::size_t i = 0; i < k.size(); ++i) k[i] = i < 3 ? between(-0.02, 0.02) : between(-6e-4, 6e-4);
        const double apart = between(0.8, 1.6);
        const auto height = [&k](double x, double y) {
          return k[0] * x * x + k[1] * x * y + k[2] * y * y + k[3] * x * x * x + k[4] * x * x * y +
                 k[5] * x * y * y + k[6] * y * y * y;
        };
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const double x = apart * (at[0] - 15.0);
          const double y = apart * (at[1] - 15.0);
          if (at[2] == kMost[2]) return Vec3{x, y, 60.0};
          if (at[2] == 1) return Vec3{x, y, 40.0};
          return Vec3{x, y, height(x, y) + (noise > 0.0 ? between(-noise, noise) : 0.0)};
        });
        const Body body = faces_of(mesh);
        const double x = between(-2.0, 2.0);
        const double y = between(-2.0, 2.0);
        const SurfaceSpot spot = nearest_facet(body, 1, {x, y, height(x, y)});
        const Vec3 p = facet_at(body, spot, nullptr).p;
        const double by_x =
            2 * k[0] * p.x + k[1] * p.y + 3 * k[3] * p.x * p.x + 2 * k[4] * p.x * p.y + k[5] * p.y * p.y;
        const double by_y =
            k[1] * p.x + 2 * k[2] * p.y + k[4] * p.x * p.x + 2 * k[5] * p.x * p.y + 3 * k[6] * p.y * p.y;
        const double off = norm(smooth_normal(body, spot, nullptr) - unit({by_x, by_y, -1.0}));
        // Turned into the plane of the fit the surface is of the third degree only nearly.
        RC_ASSERT(off < (noise > 0.0 ? 5e-3 : 5e-4));
      },
      20);
}
