#include "geometry/io/dxf/dxf_write.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>

#include "geometry/check/simple.hpp"
#include "geometry/io/dxf/dxf_append.hpp"
#include "geometry/io/dxf/dxf_read.hpp"

using namespace lastwright;
using Catch::Matchers::Contains;

namespace {

// An outline like a piece's: a wavy ring of lines and arcs about a centre.
ClosedArcPath random_outline(std::mt19937& random, int segments, Vec2 centre, double radius) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  ClosedArcPath path;
  for (int i = 0; i < segments; ++i) {
    const double angle = 2.0 * 3.141592653589793 * (i + 0.6 * unit(random)) / segments;
    const double r = radius * (0.8 + 0.2 * unit(random));
    const double bulge = i % 3 == 0 ? 0.0 : 0.8 * (unit(random) - 0.5);
    path.vertices.push_back({centre + r * Vec2{std::cos(angle), std::sin(angle)}, bulge});
  }
  return path;
}

Sheet random_sheet(unsigned seed, int segments = 80) {
  std::mt19937 random(seed);
  Sheet sheet;
  sheet.title = "vamp 8½ F";
  sheet.outlines.push_back({random_outline(random, segments, {10.0 * seed, -50}, 120), Operation::kCut});
  sheet.outlines.push_back({random_outline(random, 7, {10.0 * seed, -40}, 20), Operation::kCutOut});
  const ClosedArcPath ring = random_outline(random, 9, {10.0 * seed, -50}, 90);
  sheet.lines.push_back({{ring.vertices}, Operation::kStitch});
  for (int i = 0; i < 5; ++i) sheet.holes.push_back({{20.0 * i, 3.0}, 1.25 + 0.5 * i, Operation::kHole});
  sheet.texts.push_back({{0, 0}, 3.0, from_degrees(30), "vamp 8½ F 100%% \\U+ \n end", Operation::kText});
  return sheet;
}

std::string written(const Sheet& sheet, DxfVersion version = DxfVersion::kR2000) {
  DxfWriteOptions options;
  options.version = version;
  Result<std::string> bytes = write_dxf(sheet, options);
  if (!bytes) FAIL(to_text(bytes.problem()));
  const Status checked = reread_check(*bytes, sheet, options);
  if (!checked) FAIL(to_text(checked.problem()));
  return std::move(bytes).value();
}

}  // namespace

TEST_CASE("numbers are written short, with a point and without exponent", "[dxf][write]") {
  const std::vector<std::pair<double, std::string>> cases{
      {0.0, "0.0"},     {-0.0, "0.0"},          {1.5, "1.5"},        {-1.5, "-1.5"},
      {100.0, "100.0"}, {0.000001, "0.000001"}, {-0.0000004, "0.0"}, {123456.654321, "123456.654321"},
      {0.05, "0.05"},   {1e6, "1000000.0"}};
  for (const auto& [value, text] : cases) {
    std::string out;
    append_decimal(out, value, 6);
    CHECK(out == text);
  }
}

TEST_CASE("written sheets read back to the same figures, in both versions", "[dxf][write]") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Sheet sheet = random_sheet(seed);
    for (const DxfVersion version : {DxfVersion::kR2000, DxfVersion::kR12}) {
      const std::string bytes = written(sheet, version);
      CHECK(bytes == written(sheet, version));
      CHECK(bytes.find("e-") == std::string::npos);
      DxfReadOptions options;
      options.unit = DrawingUnit::kMillimetre;
      const Result<Drawing> drawing = read_dxf(bytes, options);
      REQUIRE(drawing.ok());
      CHECK(drawing->texts.at(0).text == "vamp 8½ F 100%% \\U+   end");
      CHECK(drawing->paths.at(0).from.layer == "CUT");
    }
  }
}

TEST_CASE("a changed digit, layer or count does not pass the check", "[dxf][write]") {
  const Sheet sheet = random_sheet(3);
  const std::string good = written(sheet);
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string bytes = good;
    const std::size_t at = bytes.find(from, bytes.find("ENTITIES"));
    REQUIRE(at != std::string::npos);
    bytes.replace(at, from.size(), to);
    return reread_check(bytes, sheet);
  };
  CHECK_FALSE(changed("\n8\nCUT\n", "\n8\nHOLE\n").ok());
  CHECK_FALSE(changed("\n42\n0.", "\n42\n0.9").ok());
  CHECK_FALSE(changed("\n70\n1\n", "\n70\n0\n").ok());
  CHECK_FALSE(changed("CIRCLE", "POINT").ok());
  CHECK_FALSE(changed("\n40\n1.25\n", "\n40\n1.250003\n").ok());
}

TEST_CASE("short segments are merged within the stated error, or refused", "[dxf][write]") {
  // A circle of radius 50 cut into arcs, one of them 0.01 mm long: merging it costs next to nothing.
  Sheet sheet;
  ClosedArcPath circle;
  const std::vector<double> angles{0.0, 1.0, 1.0002, 2.5, 4.0, 5.0};
  for (std::size_t i = 0; i < angles.size(); ++i) {
    const double next = i + 1 < angles.size() ? angles[i + 1] : 2.0 * 3.141592653589793;
    circle.vertices.push_back(
        {50.0 * Vec2{std::cos(angles[i]), std::sin(angles[i])}, std::tan((next - angles[i]) / 4.0)});
  }
  sheet.outlines.push_back({circle, Operation::kCut});
  const Result<Sheet> prepared = prepare_sheet(sheet);
  REQUIRE(prepared.ok());
  CHECK(prepared->outlines[0].path.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) CHECK(prepared->outlines[0].path.segment(i).length() >= 0.05);
  for (const ArcVertex& v : circle.vertices) CHECK(distance_to(prepared->outlines[0].path, v.at) < 1e-4);
  // A step of 0.04 mm square to a straight edge: leaving it out moves the edge by more than 0.01 mm, and is
  // said; by a limit below that it is refused.
  Sheet step;
  step.outlines.push_back(
      {{{{{0, 0}, 0}, {{10, 0}, 0}, {{10, 0.04}, 0}, {{20, 0.04}, 0}, {{20, 10}, 0}, {{0, 10}, 0}}},
       Operation::kCut});
  CHECK(prepare_sheet(step).value().outlines[0].path.size() == 5);
  CHECK(absorbed_move(step.outlines[0].path) == Approx(0.04).margin(1e-3));
  CHECK(absorbed_move(circle) == 0.0);  // merged within a hundredth, as ever
  DxfWriteOptions narrow;
  narrow.prepare.absorb = Millimetres(0.03);
  const Result<std::string> refused = write_dxf(step, narrow);
  REQUIRE_FALSE(refused.ok());
  CHECK_THAT(to_text(refused.problem()), Contains("too short to cut") && Contains("within 0.03 mm") &&
                                             Contains("(10.000, 0.000)") && Contains("CUT"));
  CHECK(refused.problem().value.value_or(0.0) == Approx(0.04));
  Sheet dust;  // nothing is left to absorb it into
  dust.outlines.push_back({{{{{0, 0}, 0}, {{0.03, 0}, 0}, {{0.03, 0.03}, 0}}}, Operation::kCut});
  CHECK_FALSE(prepare_sheet(dust).ok());
  // A mark may move by as much as the shortest segment, and its end may be left out.
  Sheet mark;
  mark.lines.push_back(
      {{{{{0, 0}, 0}, {{10, 0}, 0}, {{10, 0.04}, 0}, {{20, 0.04}, 0}, {{20, 0}, 0}}}, Operation::kSkive});
  const Result<Sheet> marked = prepare_sheet(mark);
  REQUIRE(marked.ok());
  const OpenArcPath& kept = marked->lines[0].path;
  for (std::size_t i = 0; i < kept.size(); ++i) CHECK(kept.segment(i).length() >= 0.05);
  for (const ArcVertex& v : mark.lines[0].path.vertices) CHECK(distance_to(kept, v.at) < 0.05);
  // The same vertex twice is simply one.
  Sheet twice;
  twice.outlines.push_back(
      {{{{{0, 0}, 0}, {{0, 0}, 0.5}, {{10, 0}, 0}, {{10, 10}, 0}, {{0, 0}, 0}}}, Operation::kCut});
  CHECK(prepare_sheet(twice).value().outlines[0].path.size() == 3);
}

TEST_CASE("a step shorter than can be cut is absorbed at any corner", "[dxf][write]") {
  std::mt19937 random(35);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  int absorbed = 0;
  for (int turn = 0; turn < 2000; ++turn) {
    CAPTURE(turn);
    ClosedArcPath path = random_outline(random, 3 + turn % 9, {}, 20.0 + 80.0 * unit(random));
    if (self_contact(path, tolerance::kSamePoint)) continue;
    // A step of any direction at a vertex, as between two allowances that are nearly alike.
    const std::size_t at = static_cast<std::size_t>(unit(random) * static_cast<double>(path.size()));
    const double angle = 6.283185307179586 * unit(random), length = 0.001 + 0.0488 * unit(random);
    const ArcVertex from = path.vertices[at];
    const Vec2 to = from.at + length * Vec2{std::cos(angle), std::sin(angle)};
    path.vertices.insert(path.vertices.begin() + static_cast<std::ptrdiff_t>(at), {from.at, 0.0});
    path.vertices[at + 1] = {to, from.bulge};
    if (self_contact(path, tolerance::kSamePoint)) continue;
    Sheet sheet;
    sheet.outlines.push_back({path, Operation::kCut});
    const Result<Sheet> prepared = prepare_sheet(sheet);
    if (!prepared) FAIL(to_text(prepared.problem()));
    const ClosedArcPath& now = prepared->outlines[0].path;
    CHECK(now.size() + 1 == path.size());
    for (std::size_t i = 0; i < now.size(); ++i) CHECK(now.segment(i).length() >= 0.05);
    const auto farthest = [](const ClosedArcPath& one, const ClosedArcPath& other) {
      double most = 0.0;
      for (std::size_t i = 0; i < one.size(); ++i) {
        for (const double t : {0.0, 0.21, 0.48, 0.77})
          most = std::max(most, distance_to(other, one.segment(i).point_at(t)));
      }
      return most;
    };
    const double moved = std::max(farthest(path, now), farthest(now, path));
    CHECK(moved <= 0.05 + 1e-5);
    const double said = absorbed_move(path);
    CHECK(moved <= (said > 0.0 ? said + 0.002 : 0.0102));
    absorbed += said > 0.0 ? 1 : 0;
  }
  CHECK(absorbed > 500);
}

TEST_CASE("what cannot be cut is refused with its place", "[dxf][write]") {
  const auto refusal = [](const Sheet& sheet) {
    const Result<std::string> bytes = write_dxf(sheet);
    return bytes ? std::string("written") : to_text(bytes.problem());
  };
  Sheet sheet = random_sheet(1);
  sheet.holes.push_back(sheet.holes[0]);
  CHECK_THAT(refusal(sheet), Contains("the same hole twice"));
  sheet = random_sheet(1);
  sheet.outlines.push_back(sheet.outlines[0]);
  CHECK_THAT(refusal(sheet), Contains("the same outline twice"));
  sheet = random_sheet(1);
  sheet.outlines[0].path.vertices[3].at.x = std::nan("");
  CHECK_THAT(refusal(sheet), Contains("not a finite number"));
  sheet = random_sheet(1);
  sheet.outlines[0].path.vertices[3].at.x = 1e9;
  CHECK_THAT(refusal(sheet), Contains("beyond a kilometre"));
  sheet = random_sheet(1);
  sheet.holes[0].radius = 0.0;
  CHECK_THAT(refusal(sheet), Contains("a hole without"));
  sheet = random_sheet(1);
  sheet.outlines[0].path.vertices.resize(1);
  CHECK_THAT(refusal(sheet), Contains("fewer than two"));
  CHECK_THAT(refusal(Sheet{}), Contains("written"));
}

// Leaves files for tests/outside/dxf/check_written_dxf.py, with what was meant beside them.
TEST_CASE("files for the outside check", "[.][dxf-outside]") {
  const char* folder = std::getenv("LASTWRIGHT_OUTSIDE_DIR");
  REQUIRE(folder != nullptr);
  namespace fs = std::filesystem;
  fs::create_directories(folder);
  std::ofstream truth(fs::path(folder) / "truth.csv");
  truth.precision(15);
  truth << "file,index,layer,closed,vertices,area,length,minx,miny,maxx,maxy\n";
  for (unsigned seed = 1; seed <= 30; ++seed) {
    const Sheet sheet = random_sheet(seed, 5 + static_cast<int>(seed) * 4);
    for (const DxfVersion version : {DxfVersion::kR2000, DxfVersion::kR12}) {
      const std::string name =
          (version == DxfVersion::kR12 ? "r12-" : "r2000-") + std::to_string(seed) + ".dxf";
      std::ofstream(fs::path(folder) / name, std::ios::binary) << written(sheet, version);
      int index = 0;
      const auto row = [&](Operation operation, bool closed, std::size_t vertices, double area, double size,
                           const Box2& box) {
        truth << name << ',' << index++ << ',' << layer_name(operation) << ',' << closed << ',' << vertices
              << ',' << area << ',' << size << ',' << box.low.x << ',' << box.low.y << ',' << box.high.x
              << ',' << box.high.y << '\n';
      };
      for (const SheetOutline& o : sheet.outlines) {
        row(o.operation, true, o.path.vertices.size(), signed_area(o.path), length(o.path), bounds(o.path));
      }
      for (const SheetLine& l : sheet.lines) {
        row(l.operation, false, l.path.vertices.size(), 0.0, length(l.path), bounds(l.path));
      }
    }
  }
}
