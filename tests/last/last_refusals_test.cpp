// Refusals of lasts and scans that name what was said and what to say instead; units and numbers of meshes.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "geometry/solid/mesh_write.hpp"
#include "geometry/solid/solid_file.hpp"
#include "grading/lasts/soundness.hpp"
#include "grading/lasts/verify_last.hpp"
#include "tests/last/grid_block.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

bool names(const Problem& problem, const char* words) {
  return problem.message.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("a scan of the other foot is refused with what to say instead of what was said", "[last][verify]") {
  const StandingLast& last = demo_standing();
  ScanFile scan;
  scan.points = surface_points(last.body, 8.0, &scan.normals);
  scan.own = scan.points.size();
  for (Vec3& p : scan.points) p.y = -p.y;
  for (Vec3& n : scan.normals) n.y = -n.y;
  for (const auto& [said, words] : {std::pair{FootSaid::kOfFile, "say --mirrored"},
                                    {FootSaid::kMirrored, "leave --mirrored out"},
                                    {FootSaid::kMate, "are no pair"}}) {
    const Result<ScanFit> fit = registered(last.body, scan, "scan.stl", said);
    REQUIRE_FALSE(fit.ok());
    INFO(to_text(fit.problem()));
    CHECK(names(fit.problem(), words));
  }
}

TEST_CASE("a heel height that cannot be, and a landmark beyond its face, are named", "[last][base]") {
  LastPoseChoice pose;
  pose.heel_height = 220.0;
  const Result<BaseLast> raised = make_measured_last(demo_standing().body, pose, {});
  REQUIRE_FALSE(raised.ok());
  INFO(to_text(raised.problem()));
  CHECK(names(raised.problem(), "the heel height that is stated, 220.00 mm; as it lies it has 2"));
  const Result<BaseLast> far =
      make_measured_last(demo_standing().body, {}, {{"tread outside", SpotOnFace{0, 1e9, 0.0}}});
  REQUIRE_FALSE(far.ok());
  CHECK(names(far.problem(), "'tread outside' is moved to u 1e+09, v 0, which lies outside of face 0"));
}

TEST_CASE("a line turns where its curvature changes its sign", "[last][gate]") {
  std::vector<Vec3> line;
  for (int i = 0; i <= 60; ++i) line.push_back({5.0 * i, 0.0, 8.0 * std::sin(5.0 * i / 40.0)});
  const std::vector<std::size_t> turns = turns_of(line, false, 1.5e-3, 0.1);
  REQUIRE(turns.size() == 2);  // 300 mm are 7.5 radians: over pi and 2 pi
  for (std::size_t k = 0; k < 2; ++k)
    CHECK(line[turns[k]].x == Approx(40.0 * 3.14159265 * static_cast<double>(k + 1)).margin(5.0));
}

TEST_CASE("a mesh in each unit is read in millimetres, and what is no number is named", "[last][mesh]") {
  const PlainMesh block = test::grid_block({2, 2, 2}, [](std::array<int, 3> at) {
    return Vec3{1.0 * at[0], 2.0 * at[1], 3.0 * at[2]};
  });
  std::string stl = write_stl(block, "block");
  for (const auto& [unit, millimetres] : {std::pair{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}}) {
    const Result<StlRead> read = read_mesh_in(stl, unit, kSayUnit);
    REQUIRE(read.ok());
    double high = 0.0;
    for (const Vec3& p : read->mesh.points) high = std::max(high, p.z);
    CHECK(high == Approx(6.0 * millimetres));
  }
  const float no_number = std::numeric_limits<float>::quiet_NaN();
  stl.replace(84 + 50 * 3 + 12, sizeof(float), reinterpret_cast<const char*>(&no_number), sizeof(float));
  const Result<StlRead> read = read_mesh_in(stl, "mm", kSayUnit);
  REQUIRE_FALSE(read.ok());
  CHECK(names(read.problem(), "a corner of triangle 4 of the STL file is not a number"));
}
