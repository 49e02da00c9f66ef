// A mesh that closes is written so that it closes when it is read.
#include "geometry/solid/mesh_apart.hpp"

#include <catch2/catch.hpp>

#include "geometry/solid/mesh_write.hpp"

using namespace lastwright;

namespace {

// Two tetrahedra on each other; the corners `a` and `b` of what they have in common so far apart.
PlainMesh pair_of_tips(double apart, Vec3 at) {
  PlainMesh mesh;
  mesh.points = {at, at + Vec3{apart, 0, 0}, at + Vec3{3, 40, 0}, at + Vec3{1, 12, 30},
                 at + Vec3{1, 12, -30}};
  mesh.triangles = {{0, 1, 3}, {1, 2, 3}, {2, 0, 3}, {1, 0, 4}, {2, 1, 4}, {0, 2, 4}};
  if (volume(mesh) < 0.0) {
    for (auto& t : mesh.triangles) std::swap(t[1], t[2]);
  }
  return mesh;
}

}  // namespace

TEST_CASE("corners that single precision would join are written apart, and the mesh stays closed",
          "[last][mesh]") {
  for (const auto& [format, millimetres] : {std::pair{MeshFormat{MeshKind::kStl, false, false}, 1.0},
                                            {MeshFormat{MeshKind::kStl, true, false}, 25.4},
                                            {MeshFormat{MeshKind::kPly, false, true}, 10.0},
                                            {MeshFormat{MeshKind::kObj, true, false}, 25.4},
                                            {MeshFormat{MeshKind::k3mf, false, false}, 1000.0}}) {
    for (const double apart : {0.0, 1e-8, 4e-6, 1e-5, 1.0}) {
      for (const Vec3 at : {Vec3{0.2, 0, 0}, Vec3{16.26354, -9e-5, 157.983}, Vec3{-310.7, 44, 283.1}}) {
        INFO(name_of(format.kind) << " " << millimetres << " " << apart << " at " << at.x);
        const PlainMesh mesh = pair_of_tips(apart, at);
        const PlainMesh ready = apart_in_file(mesh, millimetres);
        REQUIRE(ready.triangles == mesh.triangles);
        double moved = 0.0;
        for (std::size_t i = 0; i < mesh.points.size(); ++i)
          moved = std::max(moved, distance(mesh.points[i], ready.points[i]));
        CHECK(moved < 2e-4);
        const std::string bytes = write_mesh(ready, format, millimetres, "tips");
        const Result<StlRead> read = read_mesh(bytes, millimetres);
        REQUIRE(read.ok());
        CHECK(read->open_sides == 0);
        CHECK(read->flat == 0);
        CHECK(read->mesh.triangles.size() == mesh.triangles.size());
        if (apart < 1.0) continue;  // of no volume: neither outward nor inward
        const Status closes = closes_again(bytes, millimetres);
        INFO((closes.ok() ? "" : to_text(closes.problem())));
        CHECK(closes.ok());
      }
    }
  }
}

TEST_CASE("a written mesh that does not close, or is inside out, is refused with the place", "[last][mesh]") {
  const Status torn = closes_again(write_stl(pair_of_tips(0.0, {16.3, 0, 158}), "tips"), 1.0);
  REQUIRE_FALSE(torn.ok());
  INFO(to_text(torn.problem()));
  CHECK(torn.problem().trouble == Trouble::kCheck);
  CHECK(torn.problem().message.find("as it would be written the mesh is not watertight") !=
        std::string::npos);
  CHECK(torn.problem().message.find("about (") != std::string::npos);
  PlainMesh inward = pair_of_tips(1.0, {0, 0, 0});
  for (auto& t : inward.triangles) std::swap(t[1], t[2]);
  const Status out = closes_again(write_stl(inward, "tips"), 1.0);
  REQUIRE_FALSE(out.ok());
  CHECK(out.problem().message.find("inside out") != std::string::npos);
}
