// Stray corners of a mesh: found where one was put, and nowhere on edges, corners, cuts and noise.
#include "geometry/solid/mesh_pips.hpp"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/mesh_body.hpp"
#include "tests/last/grid_block.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// A block of sharp edges and corners with a V cut across its top, bent and narrowed along its length: what a
// last has of features, on a mesh of sides about `side` long.
struct CutBlock {
  double side = 2.0;
  double bend = 0.0;                    // 1/mm
  double narrow = 0.0;                  // of the width, from end to end
  double cut = 0.0;                     // mm deep
  std::vector<std::size_t> inner = {};  // points of the mesh made last, three from either end

  [[nodiscard]] Vec3 place(int i, int j, int k) const {
    Vec3 p{side * i, side * (j - 3), side * k};
    const double from_cut = std::abs(i - 8) * side;
    if (k == 4) p.z -= std::max(0.0, cut * (1.0 - from_cut / (2.0 * side)));
    p.y *= 1.0 - narrow * i / 16.0;
    p.z += 0.5 * bend * p.x * p.x;
    return p;
  }
  [[nodiscard]] PlainMesh mesh() {
    constexpr std::array<int, 3> kMost{16, 6, 4};
    inner.clear();
    std::size_t count = 0;
    return test::grid_block(kMost, [&](std::array<int, 3> at) {
      if (at[0] > 2 && at[0] < kMost[0] - 2) inner.push_back(count);
      ++count;
      return place(at[0], at[1], at[2]);
    });
  }
};

CutBlock any_block() {
  CutBlock block;
  block.side = 0.1 * *rc::gen::inRange(8, 40);
  block.bend = 0.001 * *rc::gen::inRange(-10, 10) / block.side;
  block.narrow = 0.01 * *rc::gen::inRange(0, 50);
  block.cut = block.side * 0.1 * *rc::gen::inRange(0, 25);
  return block;
}

}  // namespace

TEST_CASE("a stray corner of a mesh is found with its height, and edges, corners and cuts are none",
          "[last][mesh]") {
  test::holds_for_all(
      "one corner moved out or in by more than a side is a pip, and nothing else is",
      [] {
        CutBlock block = any_block();
        PlainMesh mesh = block.mesh();
        const double noise = 0.001 * *rc::gen::inRange(0, 30);
        for (Vec3& p : mesh.points) {
          for (double* x : {&p.x, &p.y, &p.z}) *x += noise * 0.01 * *rc::gen::inRange(-100, 101);
        }
        const Result<Body> sound = mesh_body(mesh);
        RC_ASSERT(sound.ok());
        RC_ASSERT(pips_of(*sound, roughness(*sound)).empty());
        const auto moved = *rc::gen::elementOf(block.inner);
        // What is drawn out at a corner of the block is a pointed corner: nobody could tell.
        Vec3 outward;
        for (const auto& t : mesh.triangles) {
          if (t[0] != moved && t[1] != moved && t[2] != moved) continue;
          const Vec3 area =
              cross(mesh.points[t[1]] - mesh.points[t[0]], mesh.points[t[2]] - mesh.points[t[0]]);
          outward += unit(area);
        }
        // The noise that a block of corners and cuts seems to have is none of a smooth form: what is told
        // lies above it.
        const double by = (1.0 + 0.1 * *rc::gen::inRange(0, 50)) * block.side + 15.0 * roughness(*sound);
        mesh.points[moved] += by * unit(outward);
        const Result<Body> body = mesh_body(mesh);
        RC_ASSERT(body.ok());
        const std::vector<MeshPip> pips = pips_of(*body, roughness(*body));
        if (pips.size() != 1U)
          fprintf(stderr, "CASE side %g bend %g narrow %g cut %g noise %g idx %zu by %g rough %g n %zu\n",
                  block.side, block.bend, block.narrow, block.cut, noise, moved, by / block.side,
                  roughness(*body), pips.size());
        RC_ASSERT(pips.size() == 1U);
        RC_ASSERT(distance(pips.front().at, mesh.points[moved]) < 1e-9);
        RC_ASSERT(pips.front().off > 0.0);
        // What it stands off its neighbours is what it was moved by, but for what an edge stands off them
        // itself.
        RC_ASSERT(std::abs(pips.front().off - by) < 1.2 * block.side + block.cut);
        const PlainMesh mended = without_pips(*body, pips);
        for (std::size_t i = 0; i < mended.points.size(); ++i) {
          const bool is_moved = distance(body->mesh.nodes[i].point, mesh.points[moved]) < 1e-9;
          RC_ASSERT(is_moved || distance(mended.points[i], body->mesh.nodes[i].point) == 0.0);
        }
      },
      40);
}
