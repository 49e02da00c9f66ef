// Where the faces of a mesh last are parted: the rim of its top, and its featherline.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/mesh_body.hpp"
#include "grading/lasts/facet_roles.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/grid_block.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("the rim of a top has no notch where a wall slopes gently to it", "[last][mesh]") {
  test::holds_for_all(
      "all of a plane top lies in its plane, whatever slopes beside it",
      [] {
        const double high = 0.05 * *rc::gen::inRange(9, 30);     // of the row of facets below the rim
        const double slope = 0.01 * *rc::gen::inRange(60, 130);  // its height over its width
        constexpr std::array<int, 3> kMost{24, 8, 6};
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const double side = at[2] == kMost[2] ? 0.0 : high / slope;
          const double half_x = 60.0 + side;
          const double half_y = 20.0 + side;
          const double z = at[2] == kMost[2] ? 60.0 : (60.0 - high) * at[2] / (kMost[2] - 1.0);
          return Vec3{half_x * (2.0 * at[0] / kMost[0] - 1.0), half_y * (2.0 * at[1] / kMost[1] - 1.0), z};
        });
        Result<Body> body = mesh_body(mesh);
        RC_ASSERT(body.ok());
        find_facet_roles(*body);
        int top = 0;
        for (const Triangle& t : body->mesh.triangles) {
          if (body->faces[static_cast<std::size_t>(t.face)].role != FaceRole::kTop) continue;
          ++top;
          for (const std::uint32_t n : t.node) RC_ASSERT(body->mesh.nodes[n].point.z > 60.0 - 0.21);
        }
        RC_ASSERT(top == 2 * kMost[0] * kMost[1]);
      },
      20);
}

TEST_CASE("the featherline does not run out to the point of a facet and back", "[last][mesh]") {
  test::holds_for_all(
      "no facet of bottom or upper hangs by one side with a point below 30 degrees",
      [] {
        // A bottom whose rim is turned up in uneven steps: rows of long facets pass from one face to the
        // other.
        constexpr std::array<int, 3> kMost{24, 12, 4};
        std::vector<double> turned;
        for (int i = 0; i <= kMost[0]; ++i) turned.push_back(0.02 * *rc::gen::inRange(0, 100));
        const PlainMesh mesh = test::grid_block(kMost, [&](std::array<int, 3> at) {
          const double y = 2.0 * at[1] / kMost[1] - 1.0;
          const double rise =
              at[2] == 0 ? 12.0 * std::pow(std::abs(y), 4.0) * turned[static_cast<std::size_t>(at[0])] : 0.0;
          return Vec3{5.0 * at[0], 20.0 * y, 25.0 * at[2] + rise};
        });
        Result<Body> body = mesh_body(mesh);
        RC_ASSERT(body.ok());
        find_facet_roles(*body);
        const Mesh& made = body->mesh;
        for (const Triangle& t : made.triangles) {
          const auto upper_or_bottom = [&](std::size_t k) { return made.sides[t.side[k]].rim >= 0; };
          const int parted = upper_or_bottom(0) + upper_or_bottom(1) + upper_or_bottom(2);
          if (parted != 2) continue;
          const std::size_t held = !upper_or_bottom(0) ? 0 : !upper_or_bottom(1) ? 1 : 2;
          const Vec3 tip = made.nodes[t.node[(held + 2) % 3]].point;
          const Vec3 one = unit(made.nodes[t.node[held]].point - tip);
          const Vec3 other = unit(made.nodes[t.node[(held + 1) % 3]].point - tip);
          RC_ASSERT(dot(one, other) <= 0.867);
        }
        RC_ASSERT(!made.triangles.empty());
      },
      20);
}
