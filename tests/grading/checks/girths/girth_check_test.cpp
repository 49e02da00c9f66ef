// The shares of a girth's lines, each as often as the girth counts it.
#include <catch2/catch.hpp>

#include <algorithm>

#include "grading/checks/style_checks.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;

namespace {

// Two formes: the shell's ball line counts twice where it stands for both sides, and the tread of the bottom
// `times`; each carries what it says.
struct Girths {
  StyleSpec style;
  MeasureTable table;
  StyleGrade grade;
};

Girths girths(Fraction shell_times, Fraction ball_share, Fraction bottom_times, Fraction tread_share) {
  const Base base{{{8, "8"}, {1, "M"}}, Fraction(254), Fraction(254, 30)};
  std::vector<Measure> measures(3);
  const Fraction bases[] = {Fraction(254), Fraction(250), Fraction(90)};
  for (std::size_t m = 0; m < 3; ++m) {
    measures[m].name = support::kMeasures[m];
    measures[m].base = {bases[m], ""};
    measures[m].per_size = {Fraction(5 + static_cast<int>(m)), ""};
    measures[m].per_width = {Fraction(2), ""};
  }
  FormeSpec shell = support::shell_forme();
  for (Rule& rule : shell.rules) {
    auto* line = std::get_if<MeasureLine>(&rule);
    if (line != nullptr && line->name == "ball line")
      line->carries = {{"ball girth", ball_share}, {"tread", -ball_share}};
  }
  FormeSpec bottom;
  bottom.name = "bottom";
  bottom.points = {{"heel", {0, 0}}, {"toe", {270, 0}}, {"in", {190, 45}}, {"out", {180, -45}}};
  bottom.base_line = {"heel", "toe"};
  bottom.fixed_point = "heel";
  bottom.length_line = "length";
  bottom.girth_line = "tread line";
  bottom.rules = {MeasureLine{"length", "heel", "toe", {{"stick length", 1}}},
                  MeasureLine{"tread line", "out", "in", {{"tread", tread_share}}}};
  StyleSpec style;
  style.formes = {shell, bottom};
  style.girths = {
      {"ball girth", {{"shell", "ball line", shell_times}, {"bottom", "tread line", bottom_times}}}};
  const MeasureTable table = *MeasureTable::build(measures, base);
  SizeRun run;
  run.base = base.at;
  run.sizes = {{7, "7"}, {8, "8"}, {10, "10"}};
  run.widths = {{0, "N"}, {1, "M"}};
  Result<StyleGrade> grade = grade_style(style, table, run, {}, {}, 1);
  REQUIRE(grade.ok());
  return {std::move(style), table, std::move(*grade)};
}

StyleFinding of(const std::vector<StyleFinding>& findings, const std::string& check) {
  const auto found = std::find_if(findings.begin(), findings.end(),
                                  [&](const StyleFinding& one) { return one.check == check; });
  REQUIRE(found != findings.end());
  return *found;
}

}  // namespace

TEST_CASE("a mean forme's line counts twice, in the shares and in what it grows by", "[girth]") {
  const Girths whole = girths(2, Fraction(1, 2), 1, 1);
  const auto findings = check_girths(whole.style, whole.grade, whole.table);
  CHECK(of(findings, "girth share").passed);
  CHECK(of(findings, "girth growth").passed);
  CHECK(of(findings, "girth growth").worst < 1e-3);
}

TEST_CASE("shares that do not come to one fail with what they should come to", "[girth][random]") {
  test::holds_for_all(
      "times and shares are one product each",
      [] {
        const Fraction times(*rc::gen::inRange(1, 5));
        const Fraction share(*rc::gen::inRange(1, 4), *rc::gen::inRange(2, 6));
        const Fraction bottom(*rc::gen::inRange(1, 3));
        const Girths some = girths(times, share, bottom, 1);
        const auto findings = check_girths(some.style, some.grade, some.table);
        const StyleFinding shares = of(findings, "girth share");
        const Fraction ball = times * share;
        const Fraction tread = bottom - times * share;
        const double off = std::max(std::abs(ball.value() - 1.0), std::abs(tread.value()));
        RC_ASSERT(shares.passed == (off == 0.0));
        RC_ASSERT(std::abs(shares.worst - off) < 1e-12);
        if (!shares.passed) RC_ASSERT(shares.note.find("they must come to ") != std::string::npos);
        // What the lines grow by, with the steps by hand: 6 a size of the girth, 7 of the tread, 2 a width.
        double worst = 0.0;
        for (const double sizes : {-1.0, 0.0, 2.0}) {
          for (const double widths : {-1.0, 0.0}) {
            const double grown_ball = 6.0 * sizes + 2.0 * widths;
            const double grown_tread = 7.0 * sizes + 2.0 * widths;
            worst = std::max(worst,
                             std::abs(ball.value() * grown_ball + tread.value() * grown_tread - grown_ball));
          }
        }
        RC_ASSERT(std::abs(of(findings, "girth growth").worst - worst) < 2e-3);
      },
      20);
}

TEST_CASE("a girth whose lines nobody adds up is said not to be proved", "[girth]") {
  Girths g = girths(2, Fraction(1, 2), 1, 1);
  const auto unproved = [&] {
    const auto findings = check_girths(g.style, g.grade, g.table);
    return std::count_if(findings.begin(), findings.end(), [](const StyleFinding& one) {
      return one.check == "girth share" && one.passed && !one.limit &&
             one.note.find("not proved: shell: ball line carries a part of it") != std::string::npos;
    });
  };
  CHECK(unproved() == 0);
  g.style.girths.clear();
  CHECK(unproved() == 1);  // of the ball girth; the tread is carried whole
}
