// Meshes in PLY and OBJ say what the same mesh says in STL, and broken files are refused.
#include "geometry/solid/mesh_file.hpp"

#include <fmt/format.h>

#include <bit>
#include <catch2/catch.hpp>

using namespace lastwright;

namespace {

const std::vector<Vec3> kCorners{{0, 0, 0}, {30, 0, 0}, {30, 20, 0}, {0, 20, 0}, {10.5, 9.25, 14.125}};
// A pyramid: a square below, four triangles.
const std::vector<std::vector<int>> kFaces{{3, 2, 1, 0}, {0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}};

std::string obj(bool backwards) {
  std::string out = "# a pyramid\no thing\n";
  for (const Vec3& p : kCorners) out += fmt::format("v {} {} {}\n", p.x, p.y, p.z);
  for (const auto& face : kFaces) {
    out += "f";
    for (int i : face) out += fmt::format(" {}//1", backwards ? i - 5 : i + 1);
    out += "\r\n";
  }
  return out;
}

std::string ply_head(const char* format) {
  return fmt::format(
      "ply\nformat {} 1.0\ncomment a pyramid\nelement vertex 5\nproperty float x\nproperty float y\nproperty "
      "float z\nproperty uchar red\nelement face 5\nproperty list uchar int vertex_indices\nend_header\n",
      format);
}
std::string ply_text() {
  std::string out = ply_head("ascii");
  for (const Vec3& p : kCorners) out += fmt::format("{} {} {} 255\n", p.x, p.y, p.z);
  for (const auto& face : kFaces) out += fmt::format("{} {}\n", face.size(), fmt::join(face, " "));
  return out;
}
std::string ply_binary(bool big) {
  std::string out = ply_head(big ? "binary_big_endian" : "binary_little_endian");
  const auto put = [&](std::uint32_t word) {
    for (int i = 0; i < 4; ++i) out += static_cast<char>((word >> (8 * (big ? 3 - i : i))) & 0xffu);
  };
  for (const Vec3& p : kCorners) {
    for (double v : {p.x, p.y, p.z}) put(std::bit_cast<std::uint32_t>(static_cast<float>(v)));
    out += '\x7f';
  }
  for (const auto& face : kFaces) {
    out += static_cast<char>(face.size());
    for (int i : face) put(static_cast<std::uint32_t>(i));
  }
  return out;
}

}  // namespace

TEST_CASE("a mesh is the same in every kind of file", "[last][mesh]") {
  const double expected = 30.0 * 20.0 * 14.125 / 3.0;
  for (const std::string& bytes : {obj(false), obj(true), ply_text(), ply_binary(false), ply_binary(true)}) {
    INFO(bytes.substr(0, 60));
    const Result<StlRead> read = read_mesh(bytes, 1.0);
    INFO((read.ok() ? "" : to_text(read.problem())));
    REQUIRE(read.ok());
    CHECK(read->mesh.points.size() == 5);
    CHECK(read->mesh.triangles.size() == 6);
    CHECK(read->open_sides == 0);
    CHECK(volume(read->mesh) == Catch::Detail::Approx(expected));
    CHECK(volume(read_mesh(bytes, 25.4)->mesh) == Catch::Detail::Approx(expected * 25.4 * 25.4 * 25.4));
    const Result<StlRead> stl = read_mesh(write_stl(read->mesh, "again"), 1.0);
    REQUIRE(stl.ok());
    CHECK(stl->mesh.triangles == read->mesh.triangles);
  }
}

TEST_CASE("a PLY file cut short anywhere, and what names no corner, is refused", "[last][mesh]") {
  const std::string binary = ply_binary(false);
  for (std::size_t n = 0; n + 1 < binary.size(); ++n) CHECK_FALSE(read_mesh(binary.substr(0, n), 1.0).ok());
  const std::string text = ply_text();
  for (std::size_t n = 0; n + 3 < text.size(); ++n) CHECK_FALSE(read_mesh(text.substr(0, n), 1.0).ok());
  CHECK_FALSE(read_mesh(obj(false) + "f 1 2 6\n", 1.0).ok());
  CHECK_FALSE(read_mesh(obj(false) + "f 1 2 0\n", 1.0).ok());
  CHECK_FALSE(read_mesh(obj(false) + "f 1 2 -6\n", 1.0).ok());
  CHECK_FALSE(read_mesh(obj(false) + "v 1 2\n", 1.0).ok());
  CHECK_FALSE(read_mesh(obj(false) + "v 1 2 nan\n", 1.0).ok());
  CHECK_FALSE(read_mesh("v 0 0 0\n", 1.0).ok());
  const Result<StlRead> at = read_mesh("v 0 0 0\nv x 0 0\n", 1.0);
  REQUIRE_FALSE(at.ok());
  CHECK(at.problem().place.line == 2);
}
