// Hands of pieces that cannot be cut in every size, on the small slipper.
#include "grading/checks/piece_hands.hpp"
#include "grading/style/style_run.hpp"

#include <catch2/catch.hpp>

#include "grading/checks/judge.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

constexpr std::size_t kVamp = 0;
constexpr std::size_t kQuarter = 1;
constexpr const char* kPocketIn[] = {"feather", "feather"};

// Where a chain goes through its middle curve: a pocket of 12 by 6 mm, its mouth 2 mm wide.
OpenChain with_pocket(const OpenChain& chain) {
  const std::size_t middle = chain.curves().size() / 2;
  RawOutline raw;
  for (std::size_t c = 0; c < chain.curves().size(); ++c) {
    const Curve& curve = chain.curves()[c];
    if (c != middle) {
      raw.curves.push_back(curve);
      continue;
    }
    const Vec2 at = point_at(curve, 0.5);
    const Vec2 x = tangent_at(curve, 0.5);
    const Vec2 y = left_of(x);
    std::vector<Vec2> points{point_at(curve, 0.4)};
    for (const Vec2 p :
         {Vec2{-1, 0}, Vec2{-1, 3}, Vec2{-6, 3}, Vec2{-6, 9}, Vec2{6, 9}, Vec2{6, 3}, Vec2{1, 3}, Vec2{1, 0}})
      points.push_back(at + p.x * x + p.y * y);
    points.push_back(point_at(curve, 0.6));
    raw.curves.push_back(part_of(curve, 0.0, 0.4));
    for (std::size_t i = 0; i + 1 < points.size(); ++i) raw.curves.push_back(Line{points[i], points[i + 1]});
    raw.curves.push_back(part_of(curve, 0.6, 1.0));
  }
  return *make_open_chain(std::move(raw), Millimetres(1e-6));
}

// The slipper with a pocket in one of its pieces that an allowance closes from size 9 on.
JudgedStyle judged_with_wide_allowances(std::size_t piece) {
  Checked<LoadedStyle> load = load_style(test::project_dir() + "/tests/golden/slipper/style.json");
  REQUIRE(load.ok());
  LoadedStyle& style = *load;
  style.spec.seams.clear();
  PieceSpec& spec = style.spec.pieces[piece];
  for (std::size_t e = 0; e < spec.edges.size(); ++e) {
    spec.edges[e].allowance = Millimetres(0.0);
    spec.edges[e].allowance_from.clear();
    if (spec.edges[e].name != kPocketIn[piece]) continue;
    spec.edges[e].allowance_from = {{"9", Millimetres(2.0)}};
    style.pieces[piece].edges[e].chain = with_pocket(style.pieces[piece].edges[e].chain);
  }
  style.pieces[piece].spec = spec;
  for (std::size_t e = 0; e < spec.edges.size(); ++e) style.pieces[piece].edges[e].spec = spec.edges[e];
  const Result<SizeRun> run = size_run(style.spec, style.scale, style.ladder);
  REQUIRE(run.ok());
  const Result<StyleGrade> grade = grade_style(style.spec, style.measures, *run, style.pieces);
  INFO((grade ? std::string() : to_text(grade.problem())));
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

TEST_CASE("a piece that is no mirror image in the base size keeps its hands where another size cannot be cut",
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
