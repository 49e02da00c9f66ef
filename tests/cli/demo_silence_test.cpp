// What is said of seams that nobody stated, of hands, layers and counts: the demo with one statement changed.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <algorithm>
#include <functional>
#include <numbers>
#include <set>

#include "grading/checks/features/figure_check.hpp"
#include "grading/checks/features/hole_check.hpp"
#include "grading/checks/seams/seam_report.hpp"
#include "grading/checks/seams/unsewn_check.hpp"
#include "grading/checks/work_check.hpp"
#include "tests/cli/changed_demo.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using lastwright::test::Demo;
using lastwright::test::demo;

namespace {

std::vector<StyleFinding> of(const std::vector<StyleFinding>& all, const std::string& check) {
  std::vector<StyleFinding> some;
  std::copy_if(all.begin(), all.end(), std::back_inserter(some),
               [&](const StyleFinding& one) { return one.check == check; });
  return some;
}

struct DemoAsMade {
  Demo d = demo();
  StyleLooks looks = StyleLooker(d.loaded.spec, d.grade).all(0);
};
DemoAsMade& demo_as_made() {
  static DemoAsMade one;
  return one;
}

// The sides of the demo's seams, some statements of its pieces changed and nothing made again.
template <class Change>
std::vector<StyleFinding> sides(Change change) {
  DemoAsMade& on = demo_as_made();
  StyleSpec style = on.d.loaded.spec;
  StyleGrade grade = on.d.grade;
  change(style, grade);
  const auto reports = seam_reports(style, grade, on.looks);
  REQUIRE(reports.ok());
  return check_seam_sides(style, grade, on.looks, reports);
}
PieceSpec& silent_piece_of(StyleGrade& grade, const std::string& name) {
  return std::find_if(grade.pieces.begin(), grade.pieces.end(),
                      [&](const PreparedPiece& one) { return one.bound.spec.name == name; })
      ->bound.spec;
}
SeamSpec& seam_of(StyleSpec& style, const std::string& name) {
  return *std::find_if(style.seams.begin(), style.seams.end(),
                       [&](const SeamSpec& one) { return one.name == name; });
}

}  // namespace

TEST_CASE("nothing is said of what the demo leaves unstated", "[silence][demo]") {
  const std::vector<StyleFinding>& all = test::demo_verdict().findings;
  for (const char* check :
       {"edges unsewn",    "seam hands",         "seam layers",   "seam counts",   "hole size",
        "holes meet",      "line direction",     "growth",        "tied sizes",    "lasting margin",
        "drawn cut",       "in allowance, hole", "hole alone",    "eyelets alone", "piece number",
        "stitch distance", "skive width",        "skive depth",   "no skive",      "half alone",
        "bottom lasted",   "text height",        "text and size", "point by name", "base width",
        "drawing size",    "allowance step",     "sole hand",     "length step",   "no stitches",
        "no size marks",   "off the middle",     "hole pitch",    "back apart"}) {
    INFO(check);
    CHECK(of(all, check).empty());
  }
}

TEST_CASE("a seam that nobody states is told where its edges lie side by side", "[silence][seam]") {
  // Of each seam of the demo, left out: what lies on each other in layers, as a facing does, may be meant so.
  const std::set<std::string> layered = {
      "facing to outside quarter",  "facing tab to outside quarter",     "facing top to outside quarter",
      "facing to inside quarter",   "facing tab to inside quarter",      "facing top to inside quarter",
      "backstrap on the back seam", "lining to inside quarter, top line"};
  const DemoAsMade& on = demo_as_made();
  for (std::size_t s = 0; s < on.d.loaded.spec.seams.size(); ++s) {
    StyleSpec style = on.d.loaded.spec;
    const SeamSpec gone = style.seams[s];
    style.seams.erase(style.seams.begin() + static_cast<std::ptrdiff_t>(s));
    // Where the edges are in no other seam: all others of them go too.
    const auto has = [](const SeamSpec& seam, const SeamSide& side) {
      return (seam.one.piece == side.piece && seam.one.edge == side.edge) ||
             (seam.other.piece == side.piece && seam.other.edge == side.edge);
    };
    std::erase_if(style.seams, [&](const SeamSpec& one) { return has(one, gone.one); });
    const std::vector<StyleFinding> found = check_unsewn(style, on.d.grade);
    const auto both = [&](const StyleFinding& one) {
      return one.subject.find(gone.one.edge + " of " + gone.one.piece) != std::string::npos &&
             one.subject.find(gone.other.edge + " of " + gone.other.piece) != std::string::npos;
    };
    INFO(gone.name);
    for (const StyleFinding& one : found) UNSCOPED_INFO(one.subject << ": " << one.note);
    CHECK((std::any_of(found.begin(), found.end(), both) != (layered.count(gone.name) > 0)));
    for (const StyleFinding& one : found) {
      CHECK(one.passed);
      CHECK(one.doubtful);
    }
  }
}

TEST_CASE("edges of pieces that are drawn apart are told by their length and shape", "[silence][seam]") {
  // The inside quarter laid elsewhere on the sheet, turned or turned over, and its back seam not stated.
  DemoAsMade& on = demo_as_made();
  StyleSpec style = on.d.loaded.spec;
  std::erase_if(style.seams, [](const SeamSpec& one) {
    return one.name == "back seam" || one.name == "backstrap on the back seam";
  });
  test::holds_for_all(
      "wherever it lies",
      [&] {
        StyleGrade grade = on.d.grade;
        const double turn = *rc::gen::inRange(0, 360) * std::numbers::pi / 180.0;
        const double hand = *rc::gen::element(1.0, -1.0);
        const double size = *rc::gen::element(1.0, 1.01);
        const Vec2 by{*rc::gen::inRange(600, 900) * 1.0, *rc::gen::inRange(600, 900) * 1.0};
        for (PreparedPiece& piece : grade.pieces) {
          if (piece.bound.spec.name != "inside quarter") continue;
          std::vector<double>& nodes = piece.shape.base;
          for (std::size_t i = 0; i + 3 < nodes.size(); i += 4) {
            const Vec2 at = by + size * turned({nodes[i], hand * nodes[i + 1]}, turn);
            const Vec2 along = turned({nodes[i + 2], hand * nodes[i + 3]}, turn);
            nodes[i] = at.x;
            nodes[i + 1] = at.y;
            nodes[i + 2] = along.x;
            nodes[i + 3] = along.y;
          }
        }
        const std::vector<StyleFinding> found = check_unsewn(style, grade);
        const auto told = std::count_if(found.begin(), found.end(), [](const StyleFinding& one) {
          return one.subject == "back of outside quarter and back of inside quarter" &&
                 one.note.find("they have the same shape") != std::string::npos;
        });
        RC_ASSERT(told == (size == 1.0 ? 1 : 0));
      },
      20);
}

TEST_CASE("mirrored left out of a back seam is told, and stated where nothing is turned over",
          "[silence][seam]") {
  const auto left_out =
      of(sides([](StyleSpec& style, StyleGrade&) { seam_of(style, "back seam").mirrored = false; }),
         "seam hands");
  REQUIRE(left_out.size() == 1);
  CHECK_THAT(left_out.front().subject, Catch::Contains("back seam"));
  CHECK_THAT(left_out.front().note, Catch::Contains("state \"mirrored\": true"));
  CHECK(left_out.front().passed);
  const auto needless = of(sides([](StyleSpec& style, StyleGrade&) {
                             seam_of(style, "vamp to inside quarter, wing").mirrored = true;
                           }),
                           "seam hands");
  REQUIRE(needless.size() == 1);
  CHECK_THAT(needless.front().note, Catch::Contains("on either side"));
}

TEST_CASE("pieces that are sewn side by side are of one layer", "[silence][layer]") {
  const auto told = of(
      sides([](StyleSpec&, StyleGrade& grade) { silent_piece_of(grade, "quarter lining").layer = "uppers"; }),
      "seam layers");
  REQUIRE(told.size() == 3);  // with the vamp lining, the facing and the heel lining
  for (const StyleFinding& one : told) CHECK_THAT(one.note, Catch::Contains("quarter lining"));
  // A piece without a layer goes with all.
  CHECK(of(sides([](StyleSpec&, StyleGrade& grade) { silent_piece_of(grade, "quarter lining").layer = ""; }),
           "seam layers")
            .empty());
}

TEST_CASE("the one folded piece without a skive is told", "[silence]") {
  const DemoAsMade& on = demo_as_made();
  const auto told = [&](const std::vector<const char*>& bare) {
    StyleGrade grade = on.d.grade;
    for (const char* piece : bare)
      std::erase_if(silent_piece_of(grade, piece).features,
                    [](const FeatureSpec& one) { return std::holds_alternative<SkiveWork>(one.work); });
    return of(check_figures(on.d.loaded.spec, grade, on.d.loaded.measures), "no skive");
  };
  REQUIRE(told({"counter"}).size() == 1);
  CHECK(told({"counter"})[0].subject == "counter");
  CHECK(told({"counter", "backstrap"}).empty());  // two: the works may do so
}

TEST_CASE("work along edges that one piece of a layer lacks is told", "[silence]") {
  const DemoAsMade& on = demo_as_made();
  using Change = std::function<bool(FeatureSpec&)>;  // true: it goes
  const auto told = [&](const std::vector<const char*>& bare, const Change& change, const char* check) {
    StyleGrade grade = on.d.grade;
    for (const char* piece : bare) std::erase_if(silent_piece_of(grade, piece).features, change);
    return of(check_work(on.d.loaded.spec, grade), check);
  };
  const Change stitches = [](const FeatureSpec& one) { return std::holds_alternative<LineWork>(one.work); };
  const Change marks = [](const FeatureSpec& one) { return std::holds_alternative<SizeMarksWork>(one.work); };
  const Change skives = [](const FeatureSpec& one) { return std::holds_alternative<SkiveWork>(one.work); };
  const auto cap = told({"toe cap"}, stitches, "no stitches");
  REQUIRE(cap.size() == 1);
  CHECK(cap[0].subject == "toe cap: cap line");
  CHECK(cap[0].note.find("6 edges") != std::string::npos);
  CHECK(told({"toe cap", "counter"}, stitches, "no stitches").empty());  // two: the works may do so
  // The row has gone to another edge.
  CHECK(told(
            {"counter"},
            [](FeatureSpec& one) {
              if (auto* line = std::get_if<LineWork>(&one.work)) line->along.edges = {"back"};
              return false;
            },
            "no stitches")
            .size() == 1);
  REQUIRE(told({"toe cap"}, marks, "no size marks").size() == 1);
  CHECK(told({"toe cap"}, marks, "no size marks")[0].worst == 4.0);
  CHECK(told({"toe cap", "counter"}, marks, "no size marks").empty());
  // Of seven laps the vamp has five, so no three others are skived; one of the two quarters is alone.
  CHECK(told({"vamp"}, skives, "no skive").empty());
  REQUIRE(told({"inside quarter"}, skives, "no skive").size() == 1);
  CHECK(told({"inside quarter"}, skives, "no skive")[0].subject == "inside quarter: counter line");
  // A skive that runs along an edge which is left as cut, and none along the fold.
  const auto moved = told(
      {"toe puff", "toe cap"},
      [](FeatureSpec& one) {
        if (auto* skive = std::get_if<SkiveWork>(&one.work)) skive->edges = {"fold"};
        return false;
      },
      "no skive");
  REQUIRE(moved.size() == 1);
  CHECK(moved[0].subject == "toe cap: cap line");
}

TEST_CASE("mates that are cut in unlike numbers are told", "[silence][counts]") {
  const auto told = [](const std::string& piece, int per_pair) {
    return of(
        sides([&](StyleSpec&, StyleGrade& grade) { silent_piece_of(grade, piece).per_pair = per_pair; }),
        "seam counts");
  };
  for (const char* piece :
       {"vamp", "toe cap", "outside quarter", "quarter lining", "vamp lining", "counter", "heel lining"}) {
    INFO(piece);
    const Demo& d = demo_as_made().d;
    const auto spec = std::find_if(d.loaded.spec.pieces.begin(), d.loaded.spec.pieces.end(),
                                   [&](const PieceSpec& one) { return one.name == piece; });
    CHECK(told(piece, spec->per_pair).empty());
    const auto doubled = told(piece, 2 * spec->per_pair);
    const auto halved = told(piece, spec->per_pair / 2);
    // Half as many counters are as many as each of the quarters, and are wanted for both.
    CHECK_FALSE(halved.empty());
    REQUIRE_FALSE(doubled.empty());
    for (const auto& list : {doubled, halved}) {
      for (const StyleFinding& one : list) CHECK_THAT(one.note, Catch::Contains("per_pair"));
    }
    CHECK(std::any_of(doubled.begin(), doubled.end(), [&](const StyleFinding& one) {
      return one.note.find(fmt::format("of {} ", piece)) != std::string::npos;
    }));
  }
  // A fold that is forgotten.
  CHECK_FALSE(of(sides([](StyleSpec&, StyleGrade& grade) { silent_piece_of(grade, "toe cap").fold.reset(); }),
                 "seam counts")
                  .empty());
}

TEST_CASE("treatments that do not go together are told", "[silence][treatment]") {
  const auto told = [](const std::string& name, const std::string& of_piece, Treatment treatment) {
    return of(sides([&](StyleSpec&, StyleGrade& grade) {
                for (PreparedPiece& piece : grade.pieces) {
                  if (piece.bound.spec.name != of_piece) continue;
                  for (BoundEdge& edge : piece.bound.edges) {
                    if (edge.spec.name == name) edge.spec.treatment = treatment;
                  }
                }
              }),
              "seam treatments");
  };
  CHECK(told("cap line", "toe cap", Treatment::kFold).empty());
  const auto laps = told("cap line", "toe cap", Treatment::kLap);  // on the vamp's lap
  REQUIRE(laps.size() == 1);
  CHECK_THAT(laps.front().note, Catch::Contains("both are laps"));
  const auto open = told("back", "inside quarter", Treatment::kOpenSeam);
  REQUIRE(open.size() == 1);
  CHECK_THAT(open.front().note, Catch::Contains("in unlike ways"));
  const auto raw = told("back", "inside quarter", Treatment::kRaw);
  REQUIRE(raw.size() == 1);
  CHECK_THAT(raw.front().note, Catch::Contains("the other is not"));
  const auto half = told("wing", "vamp lining", Treatment::kClosedSeam);  // its mate is raw
  REQUIRE(half.size() == 1);
}

TEST_CASE("single holes of two layers that miss each other are told in any size", "[silence][hole]") {
  DemoAsMade& on = demo_as_made();
  const StyleSpec& style = on.d.loaded.spec;
  const auto index = [&](const std::string& name) {
    return static_cast<std::size_t>(
        std::find_if(on.d.grade.pieces.begin(), on.d.grade.pieces.end(),
                     [&](const PreparedPiece& one) { return one.bound.spec.name == name; }) -
        on.d.grade.pieces.begin());
  };
  const auto judged = [&](const std::string& one, const std::string& other, double wide, double off,
                          std::size_t cell, double there) {
    StyleLooks looks = on.looks;
    for (std::size_t c = 0; c < looks[0].size(); ++c) {
      looks[index(one)][c].single_holes = {{{60.0, 50.0}, 1.0}, {{80.0, 50.0}, 1.0}};
      looks[index(other)][c].single_holes = {{{80.0, 50.0 + (c == cell ? there : off)}, wide}};
    }
    return of(check_holes(style, on.d.grade, looks), "holes meet");
  };
  test::holds_for_all(
      "told above the limit, with the farthest",
      [&] {
        const double off = *rc::gen::inRange(0, 299) / 100.0;
        const double there = *rc::gen::inRange(0, 900) / 100.0;
        const auto cell = static_cast<std::size_t>(*rc::gen::inRange(0, 80));
        RC_PRE(std::abs(off - 0.3) > 1e-3 && std::abs(there - 0.3) > 1e-3);
        const auto told = judged("outside quarter", "quarter lining", 1.1, off, cell, there);
        RC_ASSERT(told.size() == (std::max(off, there) > 0.3 ? 1U : 0U));
        if (!told.empty()) RC_ASSERT(std::abs(told.front().worst - std::max(off, there)) < 1e-9);
      },
      10);
  const std::size_t none = on.looks[0].size();
  CHECK(judged("outside quarter", "quarter lining", 1.1, 3.2, none, 0.0).empty());  // another hole
  // Farther apart: by their name, or where each piece has as many of one width.
  for (const double off : {0.0, 0.5, 2.9, 3.2, 8.0, 14.9, 15.1}) {
    for (const bool named : {true, false}) {
      for (const bool alike : {true, false}) {
        INFO(off << (named ? ", named" : ", drawn") << (alike ? ", alike" : ", not alike"));
        StyleLooks looks = on.looks;
        for (std::size_t c = 0; c < looks[0].size(); ++c) {
          looks[index("outside quarter")][c].single_holes = {{{80.0, 50.0}, 1.5, named ? "rivet" : ""}};
          looks[index("quarter lining")][c].single_holes = {
              {{80.0, 50.0 + off}, !named && !alike ? 1.7 : 1.5, named ? alike ? "rivet" : "eyelet" : ""}};
        }
        const auto told = of(check_holes(style, on.d.grade, looks), "holes meet");
        CHECK(told.empty() == (off < 0.3 || off > (alike ? 15.0 : 3.0)));
      }
    }
  }
  CHECK(judged("outside quarter", "quarter lining", 2.0, 1.0, none, 0.0).empty());  // of another kind
  CHECK(judged("outside quarter", "inside quarter", 1.0, 1.0, none, 0.0)
            .empty());  // of one layer, no lap between them
  CHECK(judged("vamp", "outside quarter", 1.0, 1.0, none, 0.0).size() == 1);  // a lap
}

TEST_CASE("what no punch makes is told, of holes, rows, slots and bars", "[silence][hole]") {
  DemoAsMade& on = demo_as_made();
  for (const double wide : {0.3, 0.49, 0.5, 2.0}) {
    INFO(wide);
    StyleGrade grade = on.d.grade;
    HoleWork hole;
    hole.diameter = Millimetres(wide);
    RowWork row;
    row.unit = {{Millimetres(0.0), Millimetres(0.0), Millimetres(wide)}};
    SlotWork slot;
    slot.width = Millimetres(wide);
    BuckleBarWork bar;
    bar.slot_width = Millimetres(wide);
    silent_piece_of(grade, "vamp").features = {
        {"hole", hole, {}}, {"row", row, {}}, {"slot", slot, {}}, {"bar", bar, {}}};
    CHECK(of(check_holes(on.d.loaded.spec, grade, on.looks), "hole size").size() == (wide < 0.5 ? 4U : 0U));
  }
}

TEST_CASE("a step of allowances that is there in all sizes is told", "[silence][allowance]") {
  // Beside the ends of a seam, edges of one treatment that run on in one line.
  const auto told = of(sides([](StyleSpec&, StyleGrade& grade) {
                         for (PreparedPiece& piece : grade.pieces) {
                           if (piece.bound.spec.name != "inside quarter") continue;
                           for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
                             if (piece.bound.edges[e].spec.name != "feather") continue;
                             piece.allowances[e].below = Millimetres(30.0);
                             for (auto& from : piece.allowances[e].from) from.second = Millimetres(30.0);
                           }
                         }
                       }),
                       "allowance step");
  REQUIRE_FALSE(told.empty());
  for (const StyleFinding& one : told) CHECK_THAT(one.note, Catch::Contains("so the cut line steps there"));
}
