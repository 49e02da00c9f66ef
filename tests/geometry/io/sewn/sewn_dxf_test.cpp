#include "geometry/io/sewn/sewn_dxf.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>

#include "geometry/io/dxf/dxf_read.hpp"

using namespace lastwright;
using Catch::Matchers::Contains;

namespace {

SewnPiece vamp(const std::string& size, double grow) {
  SewnPiece piece;
  piece.piece = "vamp";
  piece.size = size;
  piece.width = "F";
  piece.boundary = {
      {{{0, 0}, true, 1}, {{100 + grow, 0}, true, 2}, {{110, 40}, false, 0}, {{0, 60}, true, 3}},
      true,
      {{0, 0}, {100 + grow, 0}, {106, 20}, {110, 40}, {60, 55}, {0, 60}}};
  piece.internal_lines = {{{{{10, 10}, true, 0}, {{20, 10.5}, false, 4}, {{30, 10}, true, 0}},
                           false,
                           {{10, 10}, {15, 10.4}, {20, 10.5}, {30, 10}}}};
  piece.cut_outs = {{{{{40, 20}, true, 0}, {{50, 20}, true, 0}, {{45, 30}, true, 0}}, true, {}}};
  // Starts on a corner of the boundary, with a rule of its own.
  piece.sew_lines = {{{{{0, 0}, true, 7}, {{90, 5}, true, 0}}, false, {}},
                     {{{{5, 50}, true, 0}, {{90, 45}, true, 0}}, false, {}}};
  piece.notches = {{{0, 30}, 5}, {{50, 0}, 0}};
  piece.drill_holes = {{{60, 20}, 6}};
  piece.mirror_line = std::pair(Vec2{0, 0}, Vec2{0, 60});
  piece.grain_line = std::pair(Vec2{20, 20}, Vec2{80, 20});
  piece.texts = {{{20, 40}, 4.0, "full-grain calf 2.0 mm, 8½"}};
  return piece;
}

}  // namespace

TEST_CASE("sewn-products drawings read back as they were given", "[dxf][sewn]") {
  const SewnDrawing drawn{{"Slipper", "Lastwright", "Nowhere Works", "2026-03-31", "8 F", "grade-rules.txt"},
                          {vamp("8", 0.0), vamp("8½", 2.125), vamp("9", 4.25)}};
  const Result<std::string> bytes = write_sewn_dxf(drawn);
  REQUIRE(bytes.ok());
  const Result<SewnDrawing> again = read_sewn_dxf(*bytes);
  if (!again) FAIL(to_text(again.problem()));
  CHECK(*again == drawn);
  CHECK(write_sewn_dxf(*again).value() == *bytes);
  DxfReadOptions options;
  options.unit = DrawingUnit::kMillimetre;
  const Result<Drawing> drawing = read_dxf(*bytes, options);
  REQUIRE(drawing.ok());
  CHECK(drawing->paths[0].from.block == "VAMP-8-F");
  CHECK(drawing->paths[0].from.layer == "1");
  CHECK(drawing->paths[1].from.layer == "84");
  for (const char* text :
       {"STYLE NAME: Slipper", "CREATION DATE: 2026-03-31", "UNITS: METRIC", "SAMPLE SIZE: 8 F",
        "GRADE RULE TABLE: grade-rules.txt", "PIECE NAME: vamp", "SIZE: 8 F"})
    CHECK_THAT(*bytes, Contains(text));
  // No clock: without a date there is none.
  CHECK_THAT(*write_sewn_dxf({{"Slipper", "", "", "", "", ""}, drawn.pieces}), !Contains("CREATION"));
  std::string inches = *bytes;
  inches.replace(inches.find("METRIC"), 6, "ENGLISH");
  const Result<SewnDrawing> refused = read_sewn_dxf(inches);
  REQUIRE_FALSE(refused.ok());
  CHECK_THAT(to_text(refused.problem()), Contains("ENGLISH"));
}

TEST_CASE("pieces that cannot be written are named", "[dxf][sewn]") {
  const auto refusal = [](const SewnPiece& piece) {
    const auto bytes = write_sewn_dxf({{}, {piece}});
    return bytes ? std::string("written") : to_text(bytes.problem());
  };
  SewnPiece piece = vamp("8", 0);
  piece.boundary.points[1].at = piece.boundary.points[0].at;
  CHECK_THAT(refusal(piece), Contains("piece vamp, size 8, width F") && Contains("same place"));
  piece = vamp("8", 0);
  piece.boundary.closed = false;
  CHECK_THAT(refusal(piece), Contains("not closed"));
  const auto twice = write_sewn_dxf({{}, {vamp("8", 0), vamp("8", 1)}});
  CHECK_FALSE(twice.ok());
}

TEST_CASE("the grade-rule table reads back, and says what is wrong with its line", "[dxf][sewn]") {
  const GradeRuleTable table{"8 F",
                             {"7 F", "8 F", "9½ F"},
                             {{"vamp", "toe", 1, {{-4.25, 0}, {0, 0}, {6.333333, 0.1}}},
                              {"vamp", "throat", 2, {{-1, 0.5}, {0, 0}, {1.5, -0.5}}}}};
  const Result<std::string> text = write_grade_rules(table);
  REQUIRE(text.ok());
  CHECK(read_grade_rules(*text).value() == table);
  CHECK(text->starts_with("# "));
  std::string broken = *text;
  broken.replace(broken.find("-4.25"), 5, "-4,25");
  const Result<GradeRuleTable> refused = read_grade_rules(broken);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.problem().place.line > 0);
  GradeRuleTable bad = table;
  bad.rules[1].moves.pop_back();
  CHECK_FALSE(write_grade_rules(bad).ok());
  bad = table;
  bad.base = "10 F";
  CHECK_FALSE(write_grade_rules(bad).ok());
  bad = table;
  bad.rules[1].rule = 1;
  CHECK_FALSE(write_grade_rules(bad).ok());
}

// Left for tests/outside/dxf/check_written_dxf.py.
TEST_CASE("a sewn-products file for the outside check", "[.][dxf-outside]") {
  const char* folder = std::getenv("LASTWRIGHT_OUTSIDE_DIR");
  REQUIRE(folder != nullptr);
  std::ofstream(std::string(folder) + "/sewn.dxf", std::ios::binary)
      << write_sewn_dxf({{}, {vamp("8", 0.0), vamp("8½", 2.125)}}).value();
}
