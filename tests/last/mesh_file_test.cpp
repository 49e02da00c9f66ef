// Meshes in PLY, OBJ and 3MF say what the same mesh says in STL, and broken files are refused.
#include "geometry/solid/mesh_file.hpp"

#include <fmt/format.h>

#include <bit>
#include <catch2/catch.hpp>

#include "geometry/files/zip_write.hpp"
#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_write.hpp"

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

// The pyramid as the mesh of an object, `more` in its place in the resources, built by `build`.
std::string mesh_3mf() {
  std::string out = "<mesh><vertices>";
  for (const Vec3& p : kCorners) out += fmt::format(R"(<vertex x="{}" y="{}" z=" {} "/>)", p.x, p.y, p.z);
  out += "</vertices><triangles>";
  for (const auto& face : kFaces) {
    for (std::size_t k = 1; k + 1 < face.size(); ++k)
      out +=
          fmt::format(R"(<triangle v1="{}" v2="{}" v3="{}" pid="1" p1="0"/>)", face[0], face[k], face[k + 1]);
  }
  return out + "</triangles></mesh>";
}
const std::string kObject1 = "<object id=\"1\" type=\"model\">" + mesh_3mf() + "</object>";

std::string model_3mf(const std::string& head, const std::string& resources, const std::string& build) {
  return fmt::format(
      "<?xml version=\"1.0\"?><model {} xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\" "
      "xmlns:p=\"http://schemas.microsoft.com/3dmanufacturing/production/2015/06\" "
      "xmlns:b=\"http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02\">"
      "<resources>{}</resources><build>{}</build></model>",
      head, resources, build);
}
std::string three_mf(const std::string& model) {
  return zip_archive({{"3D/3dmodel.model", model}});
}
std::string three_mf(const std::string& head, const std::string& resources, const std::string& build) {
  return three_mf(model_3mf(head, resources, build));
}

std::string refusal(const std::string& bytes) {
  const Result<StlRead> read = read_mesh(bytes, 1.0);
  return read.ok() ? "it was read" : to_text(read.problem());
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
    for (std::size_t i = 0; i < read->mesh.triangles.size(); ++i) {
      for (std::size_t k = 0; k < 3; ++k)
        CHECK(stl->mesh.points[stl->mesh.triangles[i][k]] == read->mesh.points[read->mesh.triangles[i][k]]);
    }
  }
}

TEST_CASE("corners keep the order of their file, whatever the first triangle that uses them",
          "[last][mesh]") {
  const std::string in_3mf = three_mf("unit=\"millimeter\"", kObject1, "<item objectid=\"1\"/>");
  for (const std::string& bytes : {obj(false), ply_text(), ply_binary(true), in_3mf}) {
    INFO(bytes.substr(0, 60));
    const Result<StlRead> read = read_mesh(bytes, 1.0);
    REQUIRE(read.ok());
    CHECK(read->mesh.points == kCorners);
    CHECK(read->mesh.triangles[0] == std::array<std::uint32_t, 3>{3, 2, 1});
    CHECK(read->mesh.triangles[5] == std::array<std::uint32_t, 3>{3, 0, 4});
  }
  // One that no triangle uses is left out, one at the place of another is that one.
  const Result<StlRead> more = read_mesh(
      "v 0 0 0\nv 7 7 7\nv 9 0 0\nv 0 9 0\nv 0 0 9\nv 9 0 0\nf 5 6 4\nf 1 4 6\nf 1 5 4\nf 1 3 5\n", 1.0);
  REQUIRE(more.ok());
  CHECK(more->mesh.points == std::vector<Vec3>{{0, 0, 0}, {9, 0, 0}, {0, 9, 0}, {0, 0, 9}});
  CHECK(more->mesh.triangles[0] == std::array<std::uint32_t, 3>{3, 1, 2});
  CHECK(more->open_sides == 0);
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

TEST_CASE("a 3MF file is placed and measured as its build, its components and its unit say", "[last][mesh]") {
  const double expected = 30.0 * 20.0 * 14.125 / 3.0;
  const std::string item = "<item objectid=\"1\"/>";
  const Result<StlRead> plain = read_mesh(three_mf("", kObject1, item), 25.4);
  REQUIRE(plain.ok());
  CHECK(plain->millimetres == 1.0);  // its own, whatever is named
  CHECK(plain->mesh.points.size() == 5);
  CHECK(plain->open_sides == 0);
  CHECK(volume(plain->mesh) == Catch::Detail::Approx(expected));
  for (const auto& [unit, millimetres] : {std::pair{"micron", 0.001},
                                          {"centimeter", 10.0},
                                          {"inch", 25.4},
                                          {"foot", 304.8},
                                          {"meter", 1000.0}}) {
    const Result<StlRead> read = read_mesh(three_mf(fmt::format("unit=\"{}\"", unit), kObject1, item), 1.0);
    REQUIRE(read.ok());
    CHECK(read->millimetres == millimetres);
    // Corners of some microns are joined by what single precision tells apart; only the volume of larger ones
    // is kept.
    if (millimetres >= 1.0)
      CHECK(volume(read->mesh) == Catch::Detail::Approx(expected * millimetres * millimetres * millimetres));
  }
  // A row times the matrix: x becomes y, y becomes -x, then it is moved; mirrored, the triangles are turned
  // round. The component in a model of its own, supports left out, and a relation to a model elsewhere.
  const std::string components = kObject1 + "<object id=\"7\" type=\"support\">" + mesh_3mf() +
                                 "</object><object id=\"2\"><components><component objectid=\"1\" "
                                 "transform=\"0 1 0 -1 0 0 0 0 1 100 0 0\"/>"
                                 "<component p:path=\"/3D/more.model\" objectid=\"4\" transform=\"1 0 0 0 1 "
                                 "0 0 0 -1 0 0 0\"/></components></object>";
  const std::string build =
      "<item objectid=\"2\" transform=\"1 0 0 0 1 0 0 0 1 0 0 1000\"/><item objectid=\"7\"/>";
  const std::string more = model_3mf("", "<object id=\"4\">" + mesh_3mf() + "</object>", "");
  const std::string root = model_3mf("unit=\"millimeter\" requiredextensions=\"p\"", components, build);
  const std::string relations =
      "<Relationships><Relationship Target=\"/a/b.model\" Id=\"r\" "
      "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>";
  const Result<StlRead> both =
      read_mesh(zip_archive({{"_rels/.rels", relations}, {"a/b.model", root}, {"3D/more.model", more}}), 1.0);
  INFO((both.ok() ? "" : to_text(both.problem())));
  REQUIRE(both.ok());
  CHECK(both->mesh.triangles.size() == 12);
  CHECK(both->notes.size() == 1);
  CHECK(both->open_sides == 0);
  CHECK(volume(both->mesh) == Catch::Detail::Approx(2 * expected));  // not 0: neither is inside out
  const auto holds = [&](Vec3 p) {
    return std::any_of(both->mesh.points.begin(), both->mesh.points.end(),
                       [&](Vec3 q) { return distance(p, q) < 1e-9; });
  };
  CHECK(holds({100.0 - 9.25, 10.5, 1014.125}));
  CHECK(holds({10.5, 9.25, 1000.0 - 14.125}));

  // Two of one size are a pair: neither is chosen. One beside a small part is the last.
  const Result<Body> pair = mesh_body(both->mesh);
  REQUIRE_FALSE(pair.ok());
  CHECK(pair.problem().message.find("2 loose parts") != std::string::npos);
  const Result<StlRead> bolt = read_mesh(
      three_mf("", kObject1, item + "<item objectid=\"1\" transform=\".3 0 0 0 .3 0 0 0 .3 90 0 0\"/>"), 1.0);
  REQUIRE(bolt.ok());
  const Result<Body> alone = mesh_body(bolt->mesh);
  REQUIRE(alone.ok());
  CHECK(volume(alone->mesh) == Catch::Detail::Approx(expected));

  // Written, it is read again as it was, in its own unit; the same mesh is the same bytes.
  for (const double millimetres : {1.0, 10.0, 25.4, 0.001, 304.8, 1000.0}) {
    const MeshFormat format{MeshKind::k3mf, false, false};
    const std::string bytes = write_mesh(both->mesh, format, millimetres, "<two> & more");
    CHECK(bytes == write_mesh(both->mesh, format, millimetres, "<two> & more"));
    const Result<StlRead> again = read_mesh(bytes, 1.0);
    INFO((again.ok() ? "" : to_text(again.problem())));
    REQUIRE(again.ok());
    CHECK(again->millimetres == millimetres);
    CHECK(again->mesh.triangles == both->mesh.triangles);
    double off = 0.0;
    for (std::size_t i = 0; i < again->mesh.points.size(); ++i)
      off = std::max(off, distance(again->mesh.points[i], both->mesh.points[i]));
    CHECK(off < 2e-4);  // single precision, 1 m away
  }
}

TEST_CASE("hostile and broken 3MF files are refused with their place", "[last][mesh]") {
  const std::string item = "<item objectid=\"1\"/>";
  const auto has = [](const std::string& text, const char* words) {
    INFO(text);
    CHECK(text.find(words) != std::string::npos);
  };
  const std::string good = three_mf("", kObject1, item);
  REQUIRE(read_mesh(good, 1.0).ok());
  for (std::size_t n = 4; n < good.size(); ++n) CHECK_FALSE(read_mesh(good.substr(0, n), 1.0).ok());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string model = model_3mf("", kObject1, item);
    const std::size_t at = model.find(from);
    REQUIRE(at != std::string::npos);
    return three_mf(model.replace(at, from.size(), to));
  };
  has(refusal(with("v3=\"1\"", "v3=\"5\"")), "object 1: triangle 0 names corner 5, and there are 5");
  has(refusal(with("v3=\"1\"", "v3=\"-1\"")), "object 1: triangle 0 needs the numbers of its corners");
  has(refusal(with("x=\"30\"", "x=\"nan\"")), "object 1: vertex 1 needs three numbers");
  has(refusal(with("x=\"30\"", "x=\"1,5\"")), "vertex 1 needs three numbers");
  has(refusal(with("x=\"30\"", "x=\"1e9\"")), "vertex 1 lies too far away");
  has(refusal(with("<model ", "<model unit=\"furlong\" ")), "unit 'furlong'");
  has(refusal(with("<model ", "<model requiredextensions=\"p b\" ")), "beamlattice");
  has(refusal(with("<model ", "<!DOCTYPE model [<!ENTITY a \"b\">]><model ")), "declares a document type");
  has(refusal(with("</triangles>", "")), "is broken in line 1");
  has(refusal(three_mf("", kObject1, "")), "build lists nothing");
  has(refusal(three_mf("", kObject1 + kObject1, item)), "object 1: its id stands twice");
  has(refusal(three_mf("", kObject1, "<item objectid=\"9\"/>")), "has no object '9'");
  for (const char* transform : {"1 0 0 0 1 0 0 0 1 0 0", "1 0 0 0 1 0 0 0 1 0 0 nan",
                                "1 0 0 0 1 0 0 0 0 0 0 0", "1 0 0 0 1 0 0 0 1 0 0 0 1"})
    has(refusal(three_mf("", kObject1, fmt::format("<item objectid=\"1\" transform=\"{}\"/>", transform))),
        "the transform of an item");
  const auto made_of = [](int id, const std::string& parts) {
    return fmt::format("<object id=\"{}\"><components>{}</components></object>", id, parts);
  };
  const std::string one = "<component objectid=\"1\"/>";
  const std::string two = "<component objectid=\"2\"/>";
  has(refusal(three_mf("", made_of(1, two) + made_of(2, one), item)), "contains itself");
  has(refusal(three_mf("", made_of(1, "<component p:path=\"/3D/3dmodel.model\" objectid=\"1\"/>"), item)),
      "contains itself");
  has(refusal(three_mf("", made_of(1, "<component p:path=\"/3D/none.model\" objectid=\"1\"/>"), item)),
      "no 3D/none.model");
  std::string doubled = kObject1;  // 2^40 pyramids
  for (int id = 2; id < 42; ++id) {
    const std::string below = fmt::format("<component objectid=\"{}\"/>", id - 1);
    doubled += made_of(id, below + below);
  }
  has(refusal(three_mf("", doubled, "<item objectid=\"41\"/>")), "places more than");
  // 30 MB of blanks in 30 kB, and brackets within brackets.
  has(refusal(with("<model ", "<model " + std::string(std::size_t{30} << 20, ' '))), "unpacks to more than");
  std::string deep;
  for (int i = 0; i < 10'000; ++i) deep += "<a>";
  has(refusal(three_mf(deep)), "nests too deep");
  has(refusal(zip_archive({{"3D/3dmodel.model", "<other/>"}})), "begins with 'other'");
  has(refusal(zip_archive({{"word/document.xml", "<other/>"}})), "holds no 3MF model");
  has(refusal(zip_archive({{"3D/3dmodel.model", "<a/>"}, {"3D/3dmodel.model", "<b/>"}})),
      "names a file twice");
}

TEST_CASE("a mesh that does not close says where and why", "[last][mesh]") {
  const Result<StlRead> read = read_mesh(obj(false), 1.0);
  REQUIRE(read.ok());
  const auto refused = [](const PlainMesh& mesh) {
    const Result<Body> body = mesh_body(mesh);
    REQUIRE_FALSE(body.ok());
    return body.problem().message;
  };
  const auto has = [](const std::string& text, const char* words) {
    INFO(text);
    CHECK(text.find(words) != std::string::npos);
  };
  PlainMesh one = read->mesh;
  one.triangles.pop_back();
  has(refused(one), "it has 1 hole");
  PlainMesh touching = read->mesh;  // two sides of the four, with the tip in common
  std::erase_if(touching.triangles, [&, seen = 0](const auto& t) mutable {
    const bool side = std::any_of(t.begin(), t.end(), [&](auto i) { return touching.points[i].z > 1.0; });
    return side && seen++ % 2 == 0;
  });
  has(refused(touching), "where openings touch each other");
  PlainMesh doubled = read->mesh;
  doubled.triangles.push_back(doubled.triangles.front());
  has(refused(doubled), "lie on each other or look opposite ways");
  PlainMesh loose;
  for (const auto& t : read->mesh.triangles) {
    for (std::uint32_t i : t) loose.points.push_back(read->mesh.points[i]);
    const auto n = static_cast<std::uint32_t>(loose.points.size());
    loose.triangles.push_back({n - 3, n - 2, n - 1});
  }
  has(refused(loose), "do not meet side by side");
}
