// Lasts as STL meshes: found standing, measured on their triangles beside the exact surfaces they were made
// from, and what is no last refused with the reason.
#include "geometry/solid/mesh_body.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/solid/stl.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

PlainMesh demo_mesh(double deflection) {
  Result<Body> body = to_body(*demo_standing().shape, deflection);
  REQUIRE(body.ok());
  return plain_mesh(*body);
}

std::string ascii_stl(const PlainMesh& mesh) {
  std::string out = "solid last\n";
  for (const auto& t : mesh.triangles) {
    out += "facet normal 0 0 0\n outer loop\n";
    for (std::uint32_t i : t) {
      const Vec3 p = mesh.points[i];
      out += fmt::format("  vertex {} {} {}\n", p.x, p.y, p.z);
    }
    out += " endloop\nendfacet\n";
  }
  return out + "endsolid last\n";
}

struct Measures {
  Standing standing;
  std::map<std::string, double> values;
};

Measures measures_of(const PlainMesh& mesh) {
  Result<Body> body = mesh_body(mesh);
  INFO((body.ok() ? std::string() : to_text(body.problem())));
  REQUIRE(body.ok());
  const Result<Standing> standing = stand(*body);
  INFO((standing.ok() ? std::string() : to_text(standing.problem())));
  REQUIRE(standing.ok());
  const Result<Landmarks> landmarks = propose_landmarks(*body, *standing);
  INFO((landmarks.ok() ? std::string() : to_text(landmarks.problem())));
  REQUIRE(landmarks.ok());
  Measures result{*standing, {}};
  const Form form = make_form(*body);
  for (const MeasureDefinition& d : default_last_definitions()) {
    const Result<Measured> m = measure(d, form, *landmarks);
    INFO(d.measure);
    REQUIRE(m.ok());
    result.values[d.measure] = m->value;
  }
  return result;
}

// Millimetres over the exact last's own measures, all of them.
void check_near_exact(const Measures& mesh, double limit) {
  const StandingLast& last = demo_standing();
  const Form form = make_form(last.body);
  for (const MeasureDefinition& d : default_last_definitions()) {
    INFO(d.measure);
    // The heel girths hang on marks that a polygonal ridge and featherline place a tenth of a millimetre off.
    const double allowed = d.measure == "short heel" || d.measure == "long heel" ? limit + 0.09 : limit;
    CHECK(std::abs(mesh.values.at(d.measure) - measure(d, form, last.landmarks)->value) < allowed);
  }
}

// What one mesh measures is the same in whatever file it comes: a coarse one shows it as well as a fine one.
const PlainMesh& coarse_mesh() {
  static const PlainMesh mesh = demo_mesh(0.1);
  return mesh;
}
const Measures& coarse_measures() {
  static const Measures measures = measures_of(coarse_mesh());
  return measures;
}
void check_same_measures(const Measures& one, const Measures& other, double limit) {
  for (const auto& [name, value] : one.values) {
    INFO(name);
    CHECK(std::abs(value - other.values.at(name)) < limit);
  }
}

PlainMesh moved_mesh(PlainMesh mesh, const Motion& motion) {
  for (Vec3& p : mesh.points) p = motion(p);
  return mesh;
}

PlainMesh box(double x, double y, double z) {
  PlainMesh mesh;
  for (int i = 0; i < 8; ++i) mesh.points.push_back({i & 1 ? x : 0.0, i & 2 ? y : 0.0, i & 4 ? z : 0.0});
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

}  // namespace

TEST_CASE("a fine mesh measures as the last it was made from, less its chords", "[last][mesh]") {
  const PlainMesh mesh = demo_mesh(0.04);
  const Measures measures = measures_of(mesh);
  CHECK(measures.standing.foot == LastFoot::kLeft);
  // At 0.04 mm girths read low by up to 0.04 mm, and the featherline is a polygon: less than a tenth in all.
  check_near_exact(measures, 0.09);
  Result<Body> body = mesh_body(mesh);
  REQUIRE(body.ok());
  CHECK(chord_depth(*body) < 0.04);
  CHECK(chord_depth(*body) > 0.001);
}

TEST_CASE("an STL file in inches, in ASCII and in any position says the same", "[last][mesh][stl]") {
  Motion turned;  // length along -z, bottom towards +x
  turned.rows = {Vec3{0, 0, -1}, Vec3{0, 1, 0}, Vec3{1, 0, 0}};
  turned.shift = {13, -40, 7};
  PlainMesh mesh = moved_mesh(coarse_mesh(), turned);
  PlainMesh inches = mesh;
  for (Vec3& p : inches.points) p = p / 25.4;
  const Result<StlRead> ascii = read_stl(ascii_stl(inches), 25.4);
  REQUIRE(ascii.ok());
  CHECK(ascii->open_sides == 0);
  const Result<StlRead> binary = read_stl(write_stl(mesh, "last"), 1.0);
  REQUIRE(binary.ok());
  CHECK(binary->open_sides == 0);
  const Measures one = measures_of(ascii->mesh);
  const Measures other = measures_of(binary->mesh);
  check_same_measures(one, coarse_measures(), 2e-3);  // the file's axes are found again, pitch included
  check_same_measures(one, other, 2e-3);              // single precision
}

TEST_CASE("the mirror image of a mesh is the last of the other foot, inside out or not", "[last][mesh]") {
  PlainMesh mesh = coarse_mesh();
  for (Vec3& p : mesh.points) p.y = -p.y;
  CHECK(volume(mesh) < 0.0);  // mirrored without turning the triangles round
  const Measures measures = measures_of(mesh);
  CHECK(measures.standing.foot == LastFoot::kRight);
  check_same_measures(measures, coarse_measures(), 2e-3);
}

TEST_CASE("what is no closed last is refused with the reason", "[last][mesh]") {
  SECTION("a mesh with a triangle missing") {
    PlainMesh open = demo_mesh(0.5);
    open.triangles.pop_back();
    const Result<Body> body = mesh_body(open);
    REQUIRE_FALSE(body.ok());
    CHECK(body.problem().message.find("not watertight") != std::string::npos);
    CHECK(body.problem().value == 3.0);
  }
  SECTION("a cube, and a box as long and wide as a last") {
    Result<Body> cube = mesh_body(box(200, 200, 200));
    REQUIRE(cube.ok());
    const Result<Standing> standing = stand(*cube);
    REQUIRE_FALSE(standing.ok());
    INFO(standing.problem().message);  // a cube has no axes of its own: which reason comes first is open
    CHECK((standing.problem().message.find("flat bottom") != std::string::npos ||
           standing.problem().message.find("not the form of a last") != std::string::npos));
    Result<Body> block = mesh_body(box(280, 90, 60));
    REQUIRE(block.ok());
    const Result<Standing> on = stand(*block);
    REQUIRE_FALSE(on.ok());
    CHECK(on.problem().message.find("not the form of a last") != std::string::npos);
  }
  SECTION("a last in the wrong unit") {
    PlainMesh small = demo_mesh(0.5);
    for (Vec3& p : small.points) p = p / 25.4;
    Result<Body> body = mesh_body(small);
    REQUIRE(body.ok());
    const Result<Standing> standing = stand(*body);
    REQUIRE_FALSE(standing.ok());
    CHECK(standing.problem().message.find("units") != std::string::npos);
  }
}
