// Ties, seams, girths through the pieces and hands, on the demo and on the demo made wrong.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "grading/checks/rule_reach.hpp"
#include "grading/dies/die.hpp"
#include "tests/cli/changed_demo.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using lastwright::test::Demo;
using lastwright::test::demo;

namespace {

PieceSpec& piece(LoadedStyle& style, const std::string& name) {
  return *std::find_if(style.spec.pieces.begin(), style.spec.pieces.end(),
                       [&](const PieceSpec& one) { return one.name == name; });
}
std::size_t index(const StyleGrade& grade, const std::string& name) {
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    if (grade.pieces[p].bound.spec.name == name) return p;
  }
  FAIL("no piece " << name);
  return 0;
}

}  // namespace

TEST_CASE("sizes tied on a piece take one outline", "[ties][demo]") {
  const Demo& d = demo();
  const std::size_t stiffener = index(d.grade, "stiffener");
  const auto& sizes = d.grade.run.sizes;
  const auto outline = [&](std::size_t s, std::size_t w) {
    return d.grade.cut_piece(stiffener, d.grade.cell(s, w))->cut.path.vertices;
  };
  const auto at = [&](const std::string& label) {
    return static_cast<std::size_t>(
        std::find_if(sizes.begin(), sizes.end(), [&](const Size& one) { return one.label == label; }) -
        sizes.begin());
  };
  for (std::size_t w = 0; w < d.grade.run.widths.size(); ++w) {
    CHECK(outline(at("7"), w) == outline(at("8"), w));
    CHECK(outline(at("8.5"), w) == outline(at("8"), w));
    CHECK_FALSE(outline(at("9"), w) == outline(at("8"), w));
  }
  CHECK_FALSE(outline(at("8"), 0) == outline(at("8"), 1));
  CHECK(d.grade.cut_piece(stiffener, d.grade.cell(at("7"), 0))->at.size.label == "7");
}

TEST_CASE("the demo's seams meet in every size and width", "[seam][demo]") {
  const Demo& d = demo();
  const JudgedStyle& judged = test::demo_verdict();
  const Result<std::vector<SeamReport>>& reports = judged.seams;
  REQUIRE(reports.ok());
  REQUIRE(reports->size() == d.loaded.spec.seams.size());
  std::size_t smooth = 0;
  for (const SeamReport& report : *reports) {
    INFO(d.loaded.spec.seams[report.seam].name);
    REQUIRE(report.cells.size() == 86);
    for (const SeamCell& cell : report.cells) {
      CHECK(std::abs(cell.beyond) < 0.1);
      CHECK(cell.one > 5.0);
      for (const SeamEnd& end : {cell.first, cell.last}) {
        CHECK(end.one.value() > 0.0);
        CHECK(end.one.value() < 6.2832);
      }
      smooth += std::abs(cell.first.turn.value()) < 1e-6;
    }
  }
  CHECK(smooth > 86);
  for (const StyleFinding& finding : d.seam_findings(judged)) {
    INFO(finding.check << " " << finding.subject << " " << finding.note);
    CHECK(finding.passed);
  }
}

TEST_CASE("ease is what the other edge is longer by", "[seam][demo]") {
  const Demo d = demo([](LoadedStyle& style) { style.spec.seams.front().ease = Millimetres(0.4); });
  const JudgedStyle& plain = test::demo_verdict();
  const JudgedStyle eased = d.judged();
  REQUIRE(plain.seams.ok());
  REQUIRE(eased.seams.ok());
  for (std::size_t k = 0; k < eased.seams->front().cells.size(); ++k) {
    const SeamCell& with = eased.seams->front().cells[k];
    const SeamCell& without = plain.seams->front().cells[k];
    CHECK(std::abs(with.difference - (with.other - with.one - 0.4)) < 1e-12);
    CHECK(std::abs(with.beyond - without.beyond) < 1e-9);
    // Nicks of the longer edge are compared where the ease, spread evenly, brings them.
    REQUIRE(with.nicks.size() == without.nicks.size());
    for (std::size_t n = 0; n < with.nicks.size(); ++n)
      CHECK(with.nicks[n].other == Approx(without.nicks[n].other * with.one / (with.one + 0.4)));
  }
  CHECK_FALSE(eased.seams->front().cells.front().nicks.empty());
}

TEST_CASE("a seam of a tied piece is reported and named", "[seam][demo]") {
  const Demo d = demo(
      [](LoadedStyle& style) { piece(style, "toe cap").sizes_tied = piece(style, "toe puff").sizes_tied; });
  bool named = false;
  for (const StyleFinding& finding : d.seam_findings(d.judged())) {
    if (finding.check != "seam, tied piece") continue;
    named = true;
    CHECK(finding.worst > 0.1);
    CHECK(finding.passed);
    CHECK_THAT(finding.subject, Catch::Contains("tied: toe cap"));
  }
  CHECK(named);
}

TEST_CASE("a girth through a tied piece is reported and named, the sample is judged", "[girth][demo]") {
  const auto girths = [](const Demo& d) {
    std::vector<StyleFinding> found;
    for (const StyleFinding& finding : d.judged().findings) {
      if (finding.check.find("girth in pieces") == 0 || finding.check.find("open girth") == 0)
        found.push_back(finding);
    }
    return found;
  };
  const Demo tied = demo([](LoadedStyle& style) {
    piece(style, "toe cap").sizes_tied = piece(style, "toe puff").sizes_tied;
    piece(style, "vamp").sizes_tied = piece(style, "toe puff").sizes_tied;
  });
  bool named = false;
  for (const StyleFinding& finding : girths(tied)) {
    CHECK(finding.passed);
    if (finding.check != "girth in pieces, tied piece") continue;
    named = true;
    CHECK(finding.worst > 0.1);
    CHECK_FALSE(finding.limit);
    CHECK_THAT(finding.note, Catch::Contains("sizes are tied on") && Catch::Contains("vamp"));
  }
  CHECK(named);
}

TEST_CASE("a drawn cut-out is held over a range of sizes, its place goes with the grade", "[ties][demo]") {
  const Demo& plain = demo();
  const Demo held = demo([](LoadedStyle& style) {
    piece(style, "toe cap").cut_outs_held = {{"6", "9", "7.5"}};
    for (const char* size : {"6", "9", "7.5"})
      style.run.named[size] =
          std::find_if(style.run.sizes.begin(), style.run.sizes.end(), [&](const Size& one) {
            return one.label == size;
          })->position;
  });
  const std::size_t cap = index(plain.grade, "toe cap");
  const auto& sizes = plain.grade.run.sizes;
  std::set<long> shapes;  // area and length of each cut-out, to a millionth
  std::size_t grown = 0;
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    for (std::size_t w = 0; w < plain.grade.run.widths.size(); ++w) {
      const std::size_t cell = plain.grade.cell(s, w);
      const GradedPiece one = plain.grade.drawn_piece(cap, cell);
      const GradedPiece other = held.grade.drawn_piece(cap, cell);
      REQUIRE(one.cut_outs.size() > 0);
      REQUIRE(one.cut_outs.size() == other.cut_outs.size());
      const bool in = sizes[s].position >= held.grade.run.named.at("6") &&
                      sizes[s].position <= held.grade.run.named.at("9");
      CHECK(distance(bounds(one.cut_outs[0]).centre(), bounds(other.cut_outs[0]).centre()) < 0.1);
      if (in) {
        shapes.insert(std::lround(1e6 * length(other.cut_outs[0])));
        if (std::abs(length(one.cut_outs[0]) - length(other.cut_outs[0])) > 1e-3) ++grown;
      } else {
        CHECK(one.cut_outs[0].vertices == other.cut_outs[0].vertices);
      }
    }
  }
  CHECK(shapes.size() == 1);
  CHECK(grown > 10);
}

TEST_CASE("what is cut out of a piece is cut out by its die, round or not", "[dies][demo]") {
  const Demo& d = demo();
  std::size_t round = 0;
  for (std::size_t p = 0; p < d.grade.pieces.size(); ++p) {
    const Result<GradedPiece> piece = d.grade.cut_piece(p, d.grade.base_cell());
    REQUIRE(piece.ok());
    INFO(piece->piece);
    const DieShape die = die_shape_of(*piece);
    CHECK(die.cut_outs.size() == piece->cut_outs.size());
    CHECK(die.holes.size() == piece->holes.size());
    double area = signed_area(piece->cut.path);
    for (const ClosedArcPath& cut_out : piece->cut_outs) area -= std::abs(signed_area(cut_out));
    for (const GradedHole& hole : piece->holes) {
      area -= std::numbers::pi * hole.radius * hole.radius;
      round += hole.operation == Operation::kCutOut ? 1 : 0;
    }
    CHECK(measure_die(die).area == Approx(area));
  }
  CHECK(round == 6);  // of the toe cap's medallion, three drawn and their mirror images
}

TEST_CASE("a seam that drifts fails", "[seam][demo]") {
  // The facing's top held in its drawn shape: the quarters sewn to it grow.
  const Demo d = demo(test::at_the_ends([](LoadedStyle& style) {
    for (EdgeSpec& edge : piece(style, "facing").edges) edge.held = edge.name == "top";
  }));
  const auto findings = d.seam_findings(d.judged());
  // On a shared forme the hold holds for the quarters too: they still meet.
  // (The top line then turns at the back seam, which is another finding and is meant to fail.)
  CHECK(std::all_of(findings.begin(), findings.end(), [](const StyleFinding& one) {
    return one.passed || (one.check != "seam" && one.check != "seam, shared");
  }));
  // Two edges that are no seam.
  const Demo wrong = demo(test::at_the_ends([](LoadedStyle& style) {
    for (SeamSpec& seam : style.spec.seams) {
      if (seam.name == "counter to outside quarter") seam.other.edge = "top line";
    }
  }));
  const auto faults = wrong.seam_findings(wrong.judged());
  CHECK(std::any_of(faults.begin(), faults.end(),
                    [](const StyleFinding& one) { return one.check == "seam" && !one.passed; }));
}

TEST_CASE("the demo's pieces close the girths, and a hole in them is found", "[girth][demo]") {
  const Result<std::vector<PieceGirth>> girths = test::demo_verdict().girths;
  REQUIRE(girths.ok());
  CHECK(girths->size() == 6);  // three girths, uppers and linings
  for (const PieceGirth& girth : *girths) {
    INFO(girth.measure << ", " << girth.layer);
    for (const PieceGirthCell& cell : girth.cells) CHECK(std::abs(cell.off()) < 0.1);
  }
  // Without the vamp the uppers leave a gap at the ball, and the linings none.
  const Demo gap =
      demo(test::at_the_ends([](LoadedStyle& style) { piece(style, "vamp").layer = "linings"; }));
  std::size_t open = 0;
  for (const StyleFinding& finding : check_piece_girths(gap.grade, gap.judged().girths, {})) {
    INFO(finding.subject);
    if (!finding.passed) ++open;
    if (finding.subject == "ball girth, uppers") CHECK_FALSE(finding.passed);
    if (finding.subject == "ball girth, linings") CHECK(finding.passed);
  }
  CHECK(open >= 1);
}

TEST_CASE("pieces that are their own mirror image are found and counted once", "[hands][demo]") {
  const Demo& d = demo();
  const std::vector<PieceHands>& all = test::demo_verdict().hands;
  REQUIRE(all.size() == d.grade.pieces.size());
  for (const PieceHands& hands : all) {
    INFO(hands.piece << ": " << hands.choice.why);
    const PieceSpec& spec = d.grade.pieces[index(d.grade, hands.piece)].bound.spec;
    CHECK(hands.drawn + hands.mirrored + hands.either == spec.per_pair);
    if (spec.fold) {
      CHECK(hands.choice.mode == HandMode::kSymmetric);
      CHECK(hands.either == spec.per_pair);
      CHECK(hands.mirror < 0.1);
    }
    if (hands.piece == "outside quarter" || hands.piece == "outsole") {
      CHECK(hands.choice.mode == HandMode::kPair);
      CHECK(hands.drawn == hands.mirrored);
    }
  }
  std::vector<StyleFinding> findings;
  add_hand_findings(all, findings);
  CHECK(std::all_of(findings.begin(), findings.end(), [](const StyleFinding& one) { return one.passed; }));
  // A handed piece stated symmetric is refused.
  const Demo wrong =
      demo(test::at_the_ends([](LoadedStyle& style) { piece(style, "counter").hand = Hand::kSymmetric; }));
  std::vector<StyleFinding> faults;
  add_hand_findings(wrong.judged().hands, faults);
  CHECK(std::count_if(faults.begin(), faults.end(), [](const StyleFinding& one) { return !one.passed; }) ==
        1);
}

TEST_CASE("what a rule moves away from it is what leaving it out changes there", "[reach][demo]") {
  const Demo d = demo(test::at_the_ends([](LoadedStyle& style) {
    for (EdgeSpec& edge : piece(style, "facing").edges) edge.held = edge.name == "top";
  }));
  const std::vector<StyleFinding> reaches = rule_reaches(d.loaded.spec, d.grade, d.loaded.measures, true);
  const auto of = [&](const std::string& subject) {
    const auto found = std::find_if(reaches.begin(), reaches.end(),
                                    [&](const StyleFinding& one) { return one.subject == subject; });
    REQUIRE(found != reaches.end());
    return *found;
  };
  // The shell's 22 rules but two check lines, the length and the girth line, and what is held; the bottom's
  // five but two.
  std::size_t rules = 0;
  for (const FormeSpec& forme : d.loaded.spec.formes) rules += forme.rules.size();
  CHECK(reaches.size() == rules - 2 - 4 + 1);
  // The wide rule reaches along the instep; the held edge hardly anything.
  const StyleFinding wide = of("shell: waist line");
  CHECK(wide.worst > 0.01);
  CHECK_THAT(to_text(wide.where), Catch::Contains("mm from the rule"));
  const StyleFinding held = of("shell: held facing, top");
  CHECK(held.worst < 0.3);
  CHECK(held.limit == 0.5);
  CHECK(!wide.limit);
  // A stated limit judges every rule, and says which, where and by how much.
  LoadedStyle strict = d.loaded;
  strict.spec.rule_away_limit = Millimetres(0.01);
  for (const StyleFinding& one : rule_reaches(strict.spec, d.grade, strict.measures, false))
    CHECK(one.passed == (one.worst <= 0.01));
  CHECK(rule_reaches(d.loaded.spec, d.grade, d.loaded.measures, false).size() == 1);

  // The place that is named, graded with and without.
  const GradedForme& forme = d.grade.formes[0];
  FormeSpec without = forme.map.forme();
  std::erase_if(without.rules, [](const Rule& rule) {
    const auto* line = std::get_if<MeasureLine>(&rule);
    return line != nullptr && line->name == "waist line";
  });
  std::vector<std::string> measures;
  for (const Measure& measure : d.loaded.measures.measures()) measures.push_back(measure.name);
  const Result<GradeMap> map = make_grade_map(without, measures);
  REQUIRE(map.ok());
  REQUIRE(wide.where.point.has_value());
  double worst = 0.0;
  for (std::size_t k = 0; k < d.grade.run_cells(); ++k) {
    const SizeWidth& at = d.grade.cells[k];
    if (at.size.label != wide.where.size || at.width.label != wide.where.width) continue;
    const Result<Drivers> drivers = map->drivers(d.grade.steps[k]);
    REQUIRE(drivers.ok());
    worst = distance(map->graded(*wide.where.point, *drivers),
                     forme.map.graded(*wide.where.point, forme.drivers[k]));
  }
  CHECK(worst == Approx(wide.worst).margin(1e-6));
}
