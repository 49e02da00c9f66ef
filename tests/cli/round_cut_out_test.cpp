// Round cut-outs keep their size in every size and width, others grow, and no file shows one as a hole.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "geometry/io/cutter_write.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "geometry/io/paper/svg_write.hpp"
#include "grading/dies/die.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/sewn/sewn_profile.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;

namespace {

// In the vamp: a hole, a circle among the cut-outs, one drawn as two arcs, and a square one.
StyleGrade round_and_square() {
  const ScratchFolder folder;
  const std::string drawn = test::tags("0 CIRCLE|8 13|10 180|20 14|40 1.5|0 CIRCLE|8 11|10 200|20 12|40 4") +
                            test::tags("0 LWPOLYLINE|8 11|90 2|70 1|10 213|20 12|42 1|10 219|20 12|42 1") +
                            test::polyline({{160, 8}, {168, 8}, {168, 16}, {160, 16}}, "11");
  const Checked<LoadedStyle> load = load_style(test::put_low_shoe(folder, {}, drawn));
  REQUIRE(load.ok());
  Result<CheckedStyle> checked = check_loaded(*load, false, 1);
  REQUIRE(checked.ok());
  return std::move(checked->grade);
}

std::size_t times_in(const std::string& text, const std::string& words) {
  std::size_t count = 0;
  for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++count;
  return count;
}

// From one tool to the next.
std::string work_of_pen(const std::string& hpgl, int pen) {
  const std::size_t from = hpgl.find(fmt::format("SP{};", pen));
  if (from == std::string::npos) return {};
  return hpgl.substr(from, hpgl.find("SP", from + 2) - from);
}
std::string svg_group(const std::string& svg, const std::string& id) {
  const std::size_t from = svg.find("id=\"" + id + "\"");
  REQUIRE(from != std::string::npos);
  return svg.substr(from, svg.find("</g>", from) - from);
}

}  // namespace

TEST_CASE("round cut-outs keep their size as holes do, and all others grow", "[cut_out][low]") {
  const StyleGrade grade = round_and_square();
  const double drawn = 64.0;  // mm2 of the square
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    const GradedPiece vamp = grade.drawn_piece(0, k);
    REQUIRE(vamp.holes.size() == 3);
    REQUIRE(vamp.cut_outs.size() == 1);
    std::vector<double> round;
    for (const GradedHole& hole : vamp.holes) {
      if (hole.operation == Operation::kCutOut) round.push_back(hole.radius);
      if (hole.operation == Operation::kHole) CHECK(hole.radius == 1.5);
    }
    std::sort(round.begin(), round.end());
    CHECK(round == std::vector<double>{3.0, 4.0});
    const double area = std::abs(signed_area(vamp.cut_outs[0]));
    const SizeWidth& at = grade.cells[k];
    INFO(where(at));
    if (at.size.label == "10" && at.width.label == "F") CHECK(area > 1.02 * drawn);
    if (at.size.label == "6" && at.width.label == "E") CHECK(area < 0.98 * drawn);
  }
}

TEST_CASE("no file of a piece shows a round cut-out as a hole, nor a hole as one", "[cut_out][low]") {
  const StyleGrade grade = round_and_square();
  const Result<GradedPiece> made = grade.cut_piece(0, grade.base_cell());
  REQUIRE(made.ok());
  // On both halves.
  constexpr std::size_t kHoles = 2;
  constexpr std::size_t kRound = 4;
  constexpr std::size_t kSquare = 2;
  const Sheet sheet = sheet_of(*made);

  const Result<std::string> dxf = write_dxf(sheet);
  REQUIRE(dxf.ok());
  const Result<Drawing> read = read_dxf(*dxf, {});
  REQUIRE(read.ok());
  std::size_t on_hole = 0;
  std::size_t on_cut_out = 0;
  for (const DrawnCircle& circle : read->circles) {
    on_hole += circle.from.layer == "HOLE" && circle.radius == 1.5;
    on_cut_out += circle.from.layer == "CUT_OUT" && circle.radius >= 3.0;
  }
  CHECK(on_hole == kHoles);
  CHECK(on_cut_out == kRound);
  CHECK(read->circles.size() == kHoles + kRound);

  const std::string svg = write_svg(sheet);
  CHECK(times_in(svg_group(svg, "hole"), "<circle") == kHoles);
  CHECK(times_in(svg_group(svg, "cut-out"), "<circle") == kRound);

  const Result<CutterText> hpgl = write_hpgl(sheet, {});
  REQUIRE(hpgl.ok());
  CHECK(times_in(work_of_pen(hpgl->bytes, pen_of(Operation::kHole)), "PU") == kHoles);
  CHECK(times_in(work_of_pen(hpgl->bytes, pen_of(Operation::kCutOut)), "PU") == kRound + kSquare);

  const Result<SewnSet> sewn = sewn_set({*made}, 0, {});
  REQUIRE(sewn.ok());
  CHECK(sewn->pieces[0].drill_holes.size() == kHoles);
  CHECK(sewn->pieces[0].cut_outs.size() == kRound + kSquare);
  std::size_t said = 0;
  for (const SewnText& text : sewn->pieces[0].texts)
    said += text.text.find("holes 2 of 3 mm") != std::string::npos;
  CHECK(said == 1);

  // A die has round punches for both.
  const DieShape die = die_shape_of(*made);
  CHECK(die.cut_outs.size() == kSquare);
  CHECK(die.holes.size() == kHoles + kRound);
  for (const GradedHole& hole : die.holes) CHECK(hole.operation == Operation::kHole);
}
