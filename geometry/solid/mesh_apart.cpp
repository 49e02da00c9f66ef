#include "geometry/solid/mesh_apart.hpp"

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_file.hpp"
#include "geometry/solid/mesh_join.hpp"

namespace lastwright {

namespace {

// As a reader of the file has it.
Vec3 as_read(Vec3 p, double millimetres) {
  const auto one = [millimetres](double v) {
    return static_cast<double>(static_cast<float>(v / millimetres)) * millimetres;
  };
  return {one(p.x), one(p.y), one(p.z)};
}

}  // namespace

PlainMesh apart_in_file(PlainMesh mesh, double millimetres) {
  constexpr int kMostSteps = 300;
  constexpr double kStep = 2e-5;  // mm: about what single precision tells at the length of a last
  if (open_sides(mesh) > 0) return mesh;
  CornerJoiner join;
  PlainMesh seen;
  for (Vec3& p : mesh.points) {
    Vec3 there = as_read(p, millimetres);
    for (int k = 0; k < kMostSteps; ++k) {
      const std::size_t before = seen.points.size();
      if (join.add(seen, there) == before) break;
      const double way = kStep * (k / 3 + 1);
      const Vec3 beside = p + Vec3{k % 3 == 0 ? way : 0.0, k % 3 == 1 ? way : 0.0, k % 3 == 2 ? way : 0.0};
      there = as_read(beside, millimetres);
    }
    p = there;
  }
  return mesh;
}

Status closes_again(std::string_view bytes, double millimetres) {
  const Result<StlRead> read = read_mesh(bytes, millimetres);
  if (!read) return read.problem();
  if (read->open_sides == 0 && volume(read->mesh) > 0.0) return Done{};
  Problem refused{
      Trouble::kCheck, "the mesh as it would be written is inside out", {}, volume(read->mesh), 0.0};
  if (read->open_sides > 0) {
    const Result<Body> body = mesh_body(read->mesh);
    refused = {Trouble::kCheck,
               "as it would be written " +
                   (body.ok() ? std::string("the mesh does not close") : body.problem().message),
               {},
               static_cast<double>(read->open_sides),
               0.0};
  }
  return refused;
}

}  // namespace lastwright
