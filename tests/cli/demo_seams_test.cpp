// How the two sides of the demo's seams fit, and the demo made wrong one statement at a time.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "grading/checks/allowances/allowance_check.hpp"
#include "grading/checks/girths/measure_steps.hpp"
#include "grading/checks/kept_check.hpp"
#include "grading/checks/limit_check.hpp"
#include "grading/checks/seams/seam_sides.hpp"
#include "tests/cli/changed_demo.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using lastwright::test::Demo;
using lastwright::test::demo;

namespace {

PieceSpec& piece_of(LoadedStyle& style, const std::string& name) {
  return *std::find_if(style.spec.pieces.begin(), style.spec.pieces.end(),
                       [&](const PieceSpec& one) { return one.name == name; });
}
EdgeSpec& edge(LoadedStyle& style, const std::string& name, const std::string& of) {
  auto& edges = piece_of(style, name).edges;
  return *std::find_if(edges.begin(), edges.end(), [&](const EdgeSpec& one) { return one.name == of; });
}
template <class Work>
Work& feature(LoadedStyle& style, const std::string& name, const std::string& of) {
  for (FeatureSpec& one : piece_of(style, name).features) {
    if (one.name == of) return std::get<Work>(one.work);
  }
  FAIL("no feature " << of);
  return std::get<Work>(piece_of(style, name).features.front().work);
}

// Of a check: those that failed and those that are to be looked at.
struct Said {
  std::vector<StyleFinding> failed;
  std::vector<StyleFinding> doubtful;
};
Said said(const std::vector<StyleFinding>& findings, const std::string& check) {
  Said said;
  for (const StyleFinding& one : findings) {
    if (one.check != check) continue;
    if (!one.passed) said.failed.push_back(one);
    if (one.passed && one.doubtful) said.doubtful.push_back(one);
  }
  return said;
}
template <class Change>
std::vector<StyleFinding> found(Change change) {
  const Demo d = demo(test::at_the_ends(change));
  return d.judged().findings;
}

// Made and looked at once: laws change what follows.
struct Looked {
  Demo d = demo();
  StyleLooks looks = StyleLooker(d.loaded.spec, d.grade).all(0);
};
Looked& looked() {
  static Looked one;
  return one;
}

constexpr const char* kNew[] = {"seam, base",   "nick alone",   "seam drawn apart", "seam allowances",
                                "lap width",    "eyelets meet", "allowance step",   "measure step",
                                "line step",    "point step",   "allowance size",   "loose limit",
                                "corners kept", "ties kept",    "seams kept",       "measures kept"};

}  // namespace

TEST_CASE("nothing is said against the seams of the demo", "[seam][demo]") {
  const std::vector<StyleFinding>& all = test::demo_verdict().findings;
  for (const char* check : kNew) {
    INFO(check);
    CHECK(said(all, check).failed.empty());
    CHECK(said(all, check).doubtful.empty());
  }
  const auto count = [&](const std::string& check) {
    return std::count_if(all.begin(), all.end(), [&](const StyleFinding& one) { return one.check == check; });
  };
  CHECK(count("seam, base") == 23);
  // What is sound is not to be redrawn or corrected.
  for (const StyleFinding& one : all) {
    if (one.check != "seam, base") continue;
    INFO(one.note);
    CHECK(one.note.find("redraw") == std::string::npos);
    CHECK(one.note.find("correct one") == std::string::npos);
    CHECK(one.note.find(", without an ease") != std::string::npos);
  }
  CHECK(count("lap width") > 8);
  CHECK(count("eyelets meet") == 2);
  CHECK(count("corners kept") == 17);
}

TEST_CASE("an ease that the drawing contradicts is told, and fails beyond its limit", "[seam][law]") {
  Looked& on = looked();
  StyleSpec style = on.d.loaded.spec;
  int asked = 0;
  test::holds_for_all(
      "the demo's edges are alike: what is stated beyond them is told as it is",
      [&] {
        const auto s =
            static_cast<std::size_t>(*rc::gen::inRange<int>(0, static_cast<int>(style.seams.size())));
        const double ease = *rc::gen::inRange(-300, 301) / 100.0;
        // At a limit itself either verdict will do.
        RC_PRE(std::abs(std::abs(ease) - 1.0) > 1e-6 && std::abs(std::abs(ease) - 0.1) > 1e-6);
        style.seams[s].ease = Millimetres(ease);
        const auto reports = seam_reports(style, on.d.grade, on.looks);
        RC_ASSERT(reports.ok());
        const auto findings = check_seams(style, on.d.grade, reports, style_check_options(style));
        style.seams[s].ease = Millimetres(0.0);
        const Said one = said(findings, "seam, base");
        RC_ASSERT(said(findings, "seam").failed.empty());  // it is the same in every size
        RC_ASSERT(one.failed.size() == (std::abs(ease) > 1.0 ? 1U : 0U));
        RC_ASSERT(one.doubtful.size() == (std::abs(ease) > 0.1 && std::abs(ease) <= 1.0 ? 1U : 0U));
        for (const auto& list : {one.failed, one.doubtful}) {
          for (const StyleFinding& finding : list) {
            RC_ASSERT(std::abs(finding.worst - std::abs(ease)) < 1e-4);
            RC_ASSERT(finding.subject == seam_subject(style.seams[s]));
            RC_ASSERT(finding.note.find("\"ease\"") != std::string::npos);
            RC_ASSERT(finding.note.find(ease == 0.0 ? "redraw one" : "correct one") != std::string::npos);
          }
        }
        ++asked;
      },
      8);
  CHECK(asked >= 8);
}

TEST_CASE("a seam that one size opens fails, whichever of its sides is the longer one", "[seam]") {
  Looked& on = looked();
  const StyleSpec& style = on.d.loaded.spec;
  auto reports = seam_reports(style, on.d.grade, on.looks);
  REQUIRE(reports.ok());
  for (const double beyond : {0.4, -0.4}) {
    SeamReport& report = reports->at(3);
    const double was = report.cells.at(7).beyond;
    report.cells[7].beyond = beyond;
    const auto findings = check_seams(style, on.d.grade, reports, style_check_options(style));
    report.cells[7].beyond = was;
    const Said one = said(findings, "seam");
    REQUIRE(one.failed.size() == 1);
    CHECK(one.failed[0].worst == Approx(0.4));
    CHECK(one.failed[0].subject == seam_subject(style.seams[report.seam]));
    CHECK(to_text(one.failed[0].where) == where(on.d.grade.cells[7]));
  }
}

TEST_CASE("nicks that are sewn on each other meet, however far apart they are stated", "[seam][nick][law]") {
  // Two nicks of their own on the edges of one seam, where the demo has none.
  Looked& on = looked();
  const StyleSpec& style = on.d.loaded.spec;
  std::size_t s = style.seams.size();
  for (std::size_t i = 0; i < style.seams.size(); ++i) {
    if (style.seams[i].name == "facing top to outside quarter") s = i;
  }
  REQUIRE(s < style.seams.size());
  const auto edges = [&](const SeamSide& side) {
    std::vector<EdgeInSeam*> all;
    for (std::size_t p = 0; p < on.d.grade.pieces.size(); ++p) {
      const BoundPiece& bound = on.d.grade.pieces[p].bound;
      if (bound.spec.name != side.piece) continue;
      for (PieceLook& look : on.looks[p]) {
        for (SeamEdgeLook& sewn : look.sewn) {
          if (bound.edges[sewn.edge].spec.name == side.edge) all.push_back(&*sewn.found);
        }
      }
    }
    return all;
  };
  const auto one = edges(style.seams[s].one);
  const auto other = edges(style.seams[s].other);
  REQUIRE(one.size() == on.d.grade.cells.size());
  REQUIRE(one.front()->nicks.empty());
  const double length = one.back()->length;
  const auto judged = [&](std::optional<double> here, std::optional<double> there) {
    // The edges run against each other, or alike: which, the lengths from the first end tell.
    const bool alike =
        distance(one.back()->path.vertices.front().at, other.back()->path.vertices.front().at) < 0.1;
    for (std::size_t k = 0; k < one.size(); ++k) {
      one[k]->nicks.clear();
      other[k]->nicks.clear();
      if (here) one[k]->nicks.push_back({*here * one[k]->length, 0});
      if (there) other[k]->nicks.push_back({(alike ? *there : 1.0 - *there) * other[k]->length, 0});
    }
    const auto reports = seam_reports(style, on.d.grade, on.looks);
    REQUIRE(reports.ok());
    auto findings = check_seams(style, on.d.grade, reports, style_check_options(style));
    for (std::size_t k = 0; k < one.size(); ++k) {
      one[k]->nicks.clear();
      other[k]->nicks.clear();
    }
    return findings;
  };
  test::holds_for_all(
      "two nicks alone on their edges are partners",
      [&] {
        const double here = *rc::gen::inRange(5, 96) / 100.0;
        const double there = *rc::gen::inRange(5, 96) / 100.0;
        const Said nicks = said(judged(here, there), "seam nicks");
        // The edges grow: what is a share of them is farther apart in a larger size.
        RC_PRE(here == there || std::abs(here - there) * length > 0.12);
        RC_ASSERT(nicks.failed.size() == (here == there ? 0U : 1U));
        for (const StyleFinding& finding : nicks.failed)
          RC_ASSERT(finding.worst >= std::abs(here - there) * length - 1e-3);
      },
      20);
  // One side alone has one: told with its place.
  const Said lone = said(judged(0.25, std::nullopt), "nick alone");
  REQUIRE(lone.doubtful.size() == 1);
  CHECK(lone.doubtful.front().worst == Approx(0.25 * length).margin(1e-6));
  CHECK_THAT(lone.doubtful.front().note, Catch::Contains("which has no nick"));
}

TEST_CASE("nicks that are stated far apart are told with their places", "[seam][nick]") {
  // Beside the nick that both sides have in the middle.
  const auto findings = found([](LoadedStyle& style) {
    const auto add = [&](const char* name, const char* of, const char* called, Fraction share) {
      NickWork nick;
      nick.edge = of;
      nick.station.share = share;
      nick.shape.depth = Millimetres(1.0);
      piece_of(style, name).features.push_back({called, nick, {}});
    };
    add("outside quarter", "back", "high", Fraction(3, 10));
    add("inside quarter", "back", "low", Fraction(4, 10));
  });
  const Said nicks = said(findings, "seam nicks");
  REQUIRE(nicks.failed.size() == 1);
  CHECK(nicks.failed.front().worst > 3.0);
  CHECK_THAT(nicks.failed.front().note, Catch::Contains("from the seam's first end"));
}

TEST_CASE("closed seams hold one allowance on both sides, in every size", "[seam][allowance][law]") {
  Looked& on = looked();
  StyleGrade& grade = on.d.grade;
  const auto allowances = [&](const std::string& name, const std::string& of) -> EdgeAllowance& {
    for (PreparedPiece& one : grade.pieces) {
      for (std::size_t e = 0; e < one.bound.edges.size(); ++e) {
        if (one.bound.spec.name == name && one.bound.edges[e].spec.name == of) return one.allowances[e];
      }
    }
    FAIL("no edge " << of);
    return grade.pieces.front().allowances.front();
  };
  const auto reports = seam_reports(on.d.loaded.spec, grade, on.looks);
  REQUIRE(reports.ok());
  EdgeAllowance& one = allowances("outside quarter", "back");
  EdgeAllowance& other = allowances("inside quarter", "back");
  const EdgeAllowance was = one;
  test::holds_for_all("as wide as each other, within the limit", [&] {
    const double a = *rc::gen::inRange(0, 40) / 4.0;
    const double b = *rc::gen::inRange(0, 40) / 4.0;
    const double later = *rc::gen::inRange(0, 40) / 4.0;
    const bool steps = *rc::gen::arbitrary<bool>();
    one.below = Millimetres(a);
    other.below = Millimetres(b);
    if (steps) other.from = {{grade.run.sizes[grade.run.sizes.size() / 2].position, Millimetres(later)}};
    const Said told = said(check_seam_sides(on.d.loaded.spec, grade, on.looks, reports), "seam allowances");
    one = was;
    other = was;
    const double worst = std::max(std::abs(a - b), steps ? std::abs(a - later) : 0.0);
    RC_ASSERT(told.failed.size() == (worst > 0.5 ? 1U : 0U));
    if (worst > 0.5) RC_ASSERT(std::abs(told.failed.front().worst - worst) < 1e-9);
  });
}

TEST_CASE("allowances that step on one side of a seam's end alone are told", "[seam][allowance]") {
  const auto findings =
      found([](LoadedStyle& style) { edge(style, "inside quarter", "feather").allowance_from.clear(); });
  const Said steps = said(findings, "allowance step");
  REQUIRE_FALSE(steps.doubtful.empty());
  CHECK_THAT(steps.doubtful.front().subject, Catch::Contains("feather of inside quarter"));
  CHECK(steps.doubtful.front().worst == Approx(1.0));
}

TEST_CASE("a lap is as wide as the stitch rows on it need", "[seam][lap]") {
  // Two rows at 2 and 4.2 mm on the quarters, and 1 mm beyond them.
  for (const double width : {0.0, 5.1, 5.3}) {
    INFO("lap of " << width);
    const auto findings = found([&](LoadedStyle& style) {
      edge(style, "vamp", "wing lower").allowance = Millimetres(width);
      edge(style, "vamp", "wing upper").allowance = Millimetres(width);
    });
    const Said laps = said(findings, "lap width");
    CHECK(laps.failed.empty() == (width > 5.2));
    for (const StyleFinding& one : laps.failed)
      CHECK_THAT(one.note, Catch::Contains(width == 0.0 ? "stated as a lap and has no allowance"
                                                        : "beyond the last row"));
  }
}

TEST_CASE("eyelets of two layers are punched through both", "[seam][eyelets]") {
  const auto moved = found([](LoadedStyle& style) {
    feature<RowWork>(style, "facing", "eyelets").along.inset = Millimetres(12.0);
  });
  const Said off = said(moved, "eyelets meet");
  REQUIRE(off.failed.size() == 2);
  CHECK(off.failed.front().worst == Approx(1.0).margin(0.01));
  const auto fewer = found(
      [](LoadedStyle& style) { feature<RowWork>(style, "inside quarter", "eyelets").spacing.count = 5; });
  const Said one_less = said(fewer, "eyelets meet");
  REQUIRE(one_less.failed.size() == 1);
  CHECK_THAT(one_less.failed.front().note, Catch::Contains("has 6 and inside quarter has 5"));
}

TEST_CASE("edges that are drawn nearly on each other are named with their distance", "[seam]") {
  // The counter seam named with the wrong edge of the same
  // quarter, and one whose forme point was moved by hand.
  const auto findings = found([](LoadedStyle& style) {
    for (SeamSpec& seam : style.spec.seams) {
      if (seam.name == "counter to outside quarter") seam.other.edge = "top line";
    }
  });
  std::size_t apart = 0;
  std::size_t together = 0;
  for (const StyleFinding& one : findings) {
    apart += one.check == "seam drawn apart";
    together += one.check == "seam, shared";
  }
  CHECK(apart == 1);
  CHECK(together == 22);
}

TEST_CASE("steps that shrink or are many times off are told, and others are not", "[step][law]") {
  Looked& on = looked();
  const StyleSpec& style = on.d.loaded.spec;
  const std::vector<Measure>& measures = on.d.loaded.measures.measures();
  const auto odd = [&](std::vector<Measure> changed) {
    const Result<MeasureTable> table = MeasureTable::build(std::move(changed), on.d.loaded.measures.base());
    REQUIRE(table.ok());
    return said(odd_steps(style, on.d.grade, *table), "measure step").doubtful;
  };
  CHECK(odd(measures).empty());
  test::holds_for_all(
      "one that is ten times off is named, one that is half or twice as steep is not",
      [&] {
        const auto m = static_cast<std::size_t>(*rc::gen::inRange<int>(1, static_cast<int>(measures.size())));
        const int times = *rc::gen::element(-2, 0, 1);  // a tenth, none, ten times
        std::vector<Measure> changed = measures;
        const Fraction by = times < 0 ? Fraction(1, 12) : times == 0 ? Fraction(-1) : Fraction(12);
        changed[m].per_size.millimetres = changed[m].per_size.millimetres * by;
        const auto told = odd(changed);
        RC_ASSERT(told.size() == 1);
        RC_ASSERT(told.front().subject == measures[m].name + ", by size");
        for (const Fraction& mild : {Fraction(11, 10), Fraction(9, 10)}) {
          changed[m].per_size.millimetres = measures[m].per_size.millimetres * mild;
          RC_ASSERT(odd(changed).empty());
        }
      },
      30);
}

TEST_CASE("an allowance many times those of its like is told", "[step][allowance]") {
  for (const auto& [width, told] : {std::pair{40.0, true}, {6.0, false}, {0.5, true}, {2.0, false}}) {
    INFO(width);
    const Demo d = demo([&, width = width](LoadedStyle& style) {
      edge(style, "outsole", "inside forepart").allowance = Millimetres(width);
    });
    CHECK(odd_allowances(d.grade, Millimetres(60.0)).empty() == !told);
  }
  // Also at an edge that is left raw.
  const Demo raw = demo([](LoadedStyle& style) {
    EdgeSpec& spec = edge(style, "outsole", "inside forepart");
    spec.treatment = Treatment::kRaw;
    spec.allowance = Millimetres(60.0);
  });
  const auto told = odd_allowances(raw.grade, Millimetres(60.0));
  REQUIRE(told.size() == 1);
  CHECK(told.front().worst == 60.0);
}

TEST_CASE("a limit that judges nothing is told", "[step][limit]") {
  StyleSpec style = looked().d.loaded.spec;
  CHECK(loose_limits(style).empty());
  style.seam_limit = Millimetres(1000.0);
  style.feature_limits.hole_to_edge = Millimetres(0.1);
  const auto told = loose_limits(style);
  REQUIRE(told.size() == 2);
  CHECK(told.front().subject == "seam");
  CHECK(told.front().worst == 1000.0);
}

TEST_CASE("what is lost of seams, corners, ties and measures is found", "[kept]") {
  Looked& on = looked();
  const Demo& d = on.d;
  auto reports = seam_reports(d.loaded.spec, d.grade, on.looks);
  REQUIRE(reports.ok());
  CHECK(seams_kept(d.loaded.spec, d.grade, *reports).passed);
  reports->pop_back();
  CHECK_FALSE(seams_kept(d.loaded.spec, d.grade, *reports).passed);

  StyleGrade grade = d.grade;
  CHECK(ties_kept(grade).passed);
  for (PreparedPiece& piece : grade.pieces) {
    if (piece.bound.spec.name == "shank")
      std::iota(piece.drawn_as.begin(), piece.drawn_as.end(), std::size_t{0});
  }
  CHECK_FALSE(ties_kept(grade).passed);
  grade.steps[3].increments[1] += 0.01;
  CHECK_FALSE(measures_kept(d.loaded.spec, grade, d.loaded.measures).passed);
  CHECK(measures_kept(d.loaded.spec, d.grade, d.loaded.measures).passed);

  MadePiece made = d.grade.made_piece(0, 5);
  CHECK_FALSE(corners_lost(d.grade, made));
  MadePiece gone = made;
  for (std::uint16_t& edge : gone.drawn.net.edge) edge = edge == 2 ? 1 : edge;
  REQUIRE(corners_lost(d.grade, gone));
  CHECK_THAT(corners_lost(d.grade, gone)->message, Catch::Contains("nothing of this edge"));
  MadePiece moved = made;
  for (ArcVertex& vertex : moved.drawn.net.path.vertices) vertex.at.x += 0.05;
  REQUIRE(corners_lost(d.grade, moved));
  CHECK_THAT(corners_lost(d.grade, moved)->message, Catch::Contains("from where the grade puts it"));
}

TEST_CASE("where edges turn at a seam's end, what is to be changed is said", "[seam][demo]") {
  const auto findings = found([](LoadedStyle& style) { style.spec.seam_turn_limit = 0.0003; });
  const Said ends = said(findings, "seam end, smooth");
  REQUIRE(ends.failed.size() > 2);
  std::size_t square = 0;
  for (const StyleFinding& one : ends.failed) {
    INFO(one.subject << ": " << one.note);
    CHECK_THAT(one.note, Catch::Contains("at the corner") && Catch::Contains("\"seam_turn\""));
    square += one.note.find("\"square\": [\"back top\"]") != std::string::npos;
  }
  CHECK(square == 1);  // of the back seam, whose sides are mirror images
}
