// Hands of pieces that cannot be cut in every size, on the small slipper.
#include "grading/checks/piece_hands.hpp"
#include "grading/style/style_run.hpp"

#include <catch2/catch.hpp>

#include "cli/style_files.hpp"
#include "grading/checks/judge.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

constexpr std::size_t kVamp = 0;
constexpr std::size_t kQuarter = 1;

// The slipper with the cut line drawn of one of its pieces, of which the allowances leave nothing from size 9
// on.
JudgedStyle judged_with_wide_allowances(std::size_t piece) {
  StyleLoad load = load_style(test::project_dir() + "/tests/golden/slipper/style.json");
  REQUIRE(load.ok());
  LoadedStyle& style = *load.style;
  style.spec.seams.clear();
  PieceSpec& spec = style.spec.pieces[piece];
  spec.drawn = Drawn::kCut;
  for (EdgeSpec& edge : spec.edges) {
    edge.allowance = Millimetres(0.0);
    if (edge.name != spec.fold) edge.allowance_from = {{"9", Millimetres(300.0)}};
  }
  style.pieces[piece].spec = spec;
  for (std::size_t e = 0; e < spec.edges.size(); ++e) style.pieces[piece].edges[e].spec = spec.edges[e];
  const Result<SizeRun> run = size_run(style.spec, style.scale, style.ladder);
  REQUIRE(run.ok());
  const Result<StyleGrade> grade = grade_style(style.spec, style.measures, *run, style.pieces);
  REQUIRE(grade.ok());
  return judge_style(style.spec, *grade, style.measures);
}

double sizes_and_widths_without_cut_line(const JudgedStyle& judged, const std::string& piece) {
  for (const StyleFinding& finding : judged.findings) {
    if (finding.check == "cut line" && finding.subject == piece) return finding.worst;
  }
  return -1.0;
}

}  // namespace

TEST_CASE("a piece that is no mirror image in the sample keeps its hands where another size cannot be cut",
          "[hands]") {
  const JudgedStyle judged = judged_with_wide_allowances(kQuarter);
  CHECK(sizes_and_widths_without_cut_line(judged, "quarter") == 3.0);  // size 9 in three widths
  REQUIRE(judged.hands.size() == 2);
  CHECK(judged.hands[kVamp].choice.mode == HandMode::kSymmetric);
  CHECK(judged.hands[kQuarter].choice.mode == HandMode::kPair);
  CHECK(judged.hands[kQuarter].where.size.label == "8");
  CHECK(judged.hands[kQuarter].mirror > 1.0);
}

TEST_CASE("whether a piece is its own mirror image is not told where one size cannot be cut", "[hands]") {
  const JudgedStyle judged = judged_with_wide_allowances(kVamp);
  CHECK(sizes_and_widths_without_cut_line(judged, "vamp") == 3.0);
  CHECK(judged.hands.empty());
}
