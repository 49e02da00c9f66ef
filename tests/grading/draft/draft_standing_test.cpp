// What tells how a forme stands, and what a strap's width is measured by.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "grading/style/forme_lookup.hpp"
#include "tests/support/invented_court.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

Draft drafted(const std::string& blocks, const std::vector<std::string>& names, bool lay,
              const std::vector<std::string>& kinds) {
  std::string inserts;
  for (const std::string& name : names) inserts += tags("0 INSERT|8 0|2 " + name + "|10 0|20 0");
  const std::string text = section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
                           section("BLOCKS", blocks) + section("ENTITIES", inserts) + "0\nEOF\n";
  Result<Drawing> drawing = read_dxf(text, {});
  REQUIRE(drawing);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(drawing), "sheet", "sheet.dxf"});
  DraftOptions options;
  options.first.name = "sheet";
  options.kind = *shoe_kind(kinds);
  options.lay = lay;
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

}  // namespace

TEST_CASE("what is written level in pieces that lie turned tells of no base line, and that is told",
          "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const DrawnPiece quarter = court_upper().at(1);
  for (const double degrees : {20.0, -135.0}) {
    for (const bool level : {false, true}) {
      CAPTURE(degrees, level);
      const SheetPlace place{degrees, false, {500, 300}, false};
      std::string beside = block_of(quarter, place);
      const std::string turned_text = fmt::format("{:.9f}", degrees);
      const auto angle = beside.find(turned_text);
      REQUIRE(angle != std::string::npos);
      if (level) beside.replace(angle, turned_text.size(), "0.0");
      const Draft draft =
          drafted(block_of(vamp, {}) + beside, {vamp.name, quarter.name}, true, std::vector<std::string>{});
      REQUIRE(draft.style.formes.size() == 1);
      const FormeSpec& shell = draft.style.formes.front();
      const Vec2 base =
          unit(drawn_place(shell, shell.base_line.second) - drawn_place(shell, shell.base_line.first));
      const auto told = std::find_if(
          draft.style.proposed.begin(), draft.style.proposed.end(),
          [](const Proposed& one) { return one.what.find("the base line runs") != std::string::npos; });
      REQUIRE(told != draft.style.proposed.end());
      CHECK((told->what.find("and so tells of no base line") != std::string::npos) == level);
      CHECK((told->sure == Sureness::kGuess) == level);
      // Along the texts, or from heel to toe; the laid piece may be either's.
      const Vec2 chord = unit(drawn_place(shell, "toe") - drawn_place(shell, "heel"));
      CHECK((std::abs(cross(base, chord)) < 1e-3) == level);
      if (!level) CHECK(std::abs(std::abs(cross(base, chord)) - 12.0 / norm({248, 12})) < 1e-3);
    }
  }
}

TEST_CASE("a strap whose base line is its own mirror axis is as wide as it is cut", "[draft]") {
  const double k = 11.0 * 4.0 / 3.0 * std::tan(std::numbers::pi / 8.0);
  const DrawnPiece strap{"BACK_STRAP",
                         {0, -11},
                         {line_to({132, -11}), curve_to({132 + k, -11}, {143, -k}, {143, 0}),
                          curve_to({143, k}, {132 + k, 11}, {132, 11}), line_to({0, 11}), line_to({0, -11})},
                         {20, 0}};
  const Draft draft = drafted(block_of(strap, {40.0, false, {100, 50}, false}), {strap.name}, false,
                              std::vector<std::string>{"strap"});
  REQUIRE(draft.style.formes.size() == 1);
  const FormeSpec& forme = draft.style.formes.front();
  const Vec2 axis =
      unit(drawn_place(forme, forme.base_line.second) - drawn_place(forme, forme.base_line.first));
  REQUIRE(std::abs(cross(axis, turned({1, 0}, 40.0 * std::numbers::pi / 180.0))) < 1e-3);
  REQUIRE(draft.style.pieces.front().hand == Hand::kSymmetric);
  const auto width = std::find_if(draft.style.measures.begin(), draft.style.measures.end(),
                                  [](const MeasureSpec& one) { return one.name == "back strap width"; });
  REQUIRE(width != draft.style.measures.end());
  CHECK(std::abs(width->base.millimetres.value() - 22.0) < 0.01);
  const auto length = std::find_if(draft.style.measures.begin(), draft.style.measures.end(),
                                   [](const MeasureSpec& one) { return one.name == "back strap length"; });
  REQUIRE(length != draft.style.measures.end());
  CHECK(std::abs(length->base.millimetres.value() - 143.0) < 0.05);
}
