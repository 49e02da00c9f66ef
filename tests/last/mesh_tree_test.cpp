// The nearest triangle, on the demo last: as near as the nearest of all, and the same with every hint.
#include "geometry/solid/mesh_tree.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdint>
#include <limits>

#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

std::uint32_t drawn(std::uint32_t below) {
  static std::uint64_t state = 7;
  state = state * 6364136223846793005u + 1442695040888963407u;
  return static_cast<std::uint32_t>((state >> 33) % below);
}

double least_by_each(const Mesh& mesh, Vec3 p) {
  double least = std::numeric_limits<double>::infinity();
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    const auto w = foot_on(a, b, c, p);
    least = std::min(least, distance(p, w[0] * a + w[1] * b + w[2] * c));
  }
  return least;
}

}  // namespace

TEST_CASE("a hint never changes which triangle is nearest, also where several are equally near") {
  const Body& body = demo_standing().body;
  const Mesh& mesh = body.mesh;
  const MeshTree tree(body);
  const auto triangles = static_cast<std::uint32_t>(mesh.triangles.size());
  std::uint32_t before = MeshTree::kNowhere;
  int tried = 0;
  for (int round = 0; round < 600; ++round) {
    const Triangle& t = mesh.triangles[drawn(triangles)];
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    const Vec3 outward = unit(cross(b - a, c - a));
    const Vec3 middle = (a + b + c) / 3.0;
    // A corner and a side belong to several triangles.
    for (const Vec3 p : {a, 0.5 * (a + b), a + 0.3 * outward, 0.5 * (a + b) + 0.3 * outward,
                         middle + 0.01 * outward, middle - 25.0 * outward}) {
      const MeshTree::Nearest found = tree.nearest(p);
      REQUIRE(found.place < triangles);
      if (round < 40) CHECK(std::abs(found.distance - least_by_each(mesh, p)) < 1e-12);
      for (const std::uint32_t hint : {found.place, before, drawn(triangles), triangles}) {
        const MeshTree::Nearest again = tree.nearest(p, hint);
        ++tried;
        if (again.place == found.place && again.distance == found.distance &&
            again.spot.face == found.spot.face && again.spot.u == found.spot.u &&
            again.spot.v == found.spot.v)
          continue;
        CAPTURE(p.x, p.y, p.z, hint, found.place, again.place);
        CHECK(false);
      }
      before = found.place;
    }
  }
  CHECK(tried == 600 * 6 * 4);
}
