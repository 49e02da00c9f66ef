// What is said of layers, of pieces that are left out, and of the inside's and the outside's copy of one
// part: the demo with one statement changed.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "grading/checks/lasting/layer_check.hpp"
#include "grading/checks/seams/alike_check.hpp"
#include "grading/checks/seams/seam_mates.hpp"
#include "tests/cli/changed_demo.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using lastwright::test::Demo;
using lastwright::test::demo;

namespace {

struct LayeredDemo {
  Demo d = demo();
  StyleLooker looker{d.loaded.spec, d.grade};
  StyleLooks looks = looker.all(0);
};
LayeredDemo& layered_demo() {
  static LayeredDemo one;
  return one;
}

PreparedPiece& graded_piece_of(StyleGrade& grade, const std::string& name) {
  return *std::find_if(grade.pieces.begin(), grade.pieces.end(),
                       [&](const PreparedPiece& one) { return one.bound.spec.name == name; });
}
BoundEdge& bound_edge(StyleGrade& grade, const std::string& piece, const std::string& name) {
  std::vector<BoundEdge>& edges = graded_piece_of(grade, piece).bound.edges;
  return *std::find_if(edges.begin(), edges.end(),
                       [&](const BoundEdge& one) { return one.spec.name == name; });
}

// The layers of the demo, some statements of its pieces changed and nothing made again.
std::vector<StyleFinding> layered(const std::function<void(StyleSpec&, StyleGrade&)>& change) {
  const LayeredDemo& on = layered_demo();
  StyleSpec style = on.d.loaded.spec;
  StyleGrade grade = on.d.grade;
  change(style, grade);
  return check_layers(style, grade,
                      piece_girths(style, grade, on.d.loaded.measures, on.looker.lines(), on.looks));
}

// The same without some pieces and their seams.
std::vector<StyleFinding> left_out(const std::set<std::string>& gone) {
  const LayeredDemo& on = layered_demo();
  StyleSpec style = on.d.loaded.spec;
  StyleGrade grade = on.d.grade;
  StyleLooks looks = on.looks;
  for (std::size_t p = grade.pieces.size(); p-- > 0;) {
    if (gone.count(grade.pieces[p].bound.spec.name) == 0) continue;
    grade.pieces.erase(grade.pieces.begin() + static_cast<std::ptrdiff_t>(p));
    looks.erase(looks.begin() + static_cast<std::ptrdiff_t>(p));
  }
  std::erase_if(style.seams, [&](const SeamSpec& seam) {
    return gone.count(seam.one.piece) > 0 || gone.count(seam.other.piece) > 0;
  });
  return check_layers(style, grade,
                      piece_girths(style, grade, on.d.loaded.measures, on.looker.lines(), looks));
}

std::vector<StyleFinding> of_check(const std::vector<StyleFinding>& all, const std::string& check) {
  std::vector<StyleFinding> some;
  std::copy_if(all.begin(), all.end(), std::back_inserter(some),
               [&](const StyleFinding& one) { return one.check == check; });
  return some;
}

bool joined_to(const StyleGrade& grade, const std::string& piece, const std::string& layer) {
  const auto layer_of = [&](const std::string& name) {
    for (const PreparedPiece& one : grade.pieces) {
      if (one.bound.spec.name == name) return one.bound.spec.layer;
    }
    return std::string();
  };
  const std::vector<SeamSpec>& seams = layered_demo().d.loaded.spec.seams;
  return std::any_of(seams.begin(), seams.end(), [&](const SeamSpec& seam) {
    return (seam.one.piece == piece && layer_of(seam.other.piece) == layer) ||
           (seam.other.piece == piece && layer_of(seam.one.piece) == layer);
  });
}

std::vector<StyleFinding> mates(const std::function<void(StyleSpec&, StyleGrade&)>& change) {
  const LayeredDemo& on = layered_demo();
  StyleSpec style = on.d.loaded.spec;
  StyleGrade grade = on.d.grade;
  change(style, grade);
  StyleLooks looks = on.looks;
  looks.resize(grade.pieces.size());
  const auto reports = seam_reports(style, grade, looks);
  REQUIRE(reports.ok());
  return check_mates(style, grade, *reports);
}
SeamSpec& back_seam(StyleSpec& style) {
  return *std::find_if(style.seams.begin(), style.seams.end(),
                       [](const SeamSpec& one) { return one.name == "back seam"; });
}

}  // namespace

TEST_CASE("nothing is said of the demo's layers, copies and mates", "[silence][layer][demo]") {
  const std::vector<StyleFinding>& all = test::demo_verdict().findings;
  for (const char* check :
       {"layer overlap", "layer open", "edges alone", "sides alike", "seam twice", "seam hands"}) {
    INFO(check);
    CHECK(of_check(all, check).empty());
  }
}

TEST_CASE("a piece that is said to be of another layer is told, whichever it is", "[silence][layer][law]") {
  const StyleGrade& grade = layered_demo().d.grade;
  const std::set<std::string> layers{"uppers", "linings", "inner parts"};
  std::size_t asked = 0;
  for (const PreparedPiece& piece : grade.pieces) {
    const std::string& name = piece.bound.spec.name;
    if (piece.bound.spec.layer.empty()) continue;
    for (const std::string& layer : layers) {
      // What a seam lays on a piece of that layer may be of it.
      if (layer == piece.bound.spec.layer || joined_to(grade, name, layer)) continue;
      // The stiffener and the toe puff lie at the ends: the facing and the tongue's neighbours on neither.
      if (layer == "inner parts" && name != "counter" && name != "toe cap") continue;
      INFO(name << " in " << layer);
      const auto told = of_check(layered([&](StyleSpec&, StyleGrade& changed) {
                                   graded_piece_of(changed, name).bound.spec.layer = layer;
                                 }),
                                 "layer overlap");
      CHECK(std::any_of(told.begin(), told.end(), [&](const StyleFinding& one) {
        return one.passed && one.doubtful && one.subject.find(name) != std::string::npos;
      }));
      ++asked;
    }
    CHECK(of_check(layered([&](StyleSpec&, StyleGrade& changed) {
                     graded_piece_of(changed, name).bound.spec.layer.clear();
                   }),
                   "layer overlap")
              .empty());
  }
  CHECK(asked >= 12);
}

TEST_CASE("the inside's and the outside's pieces lie on each other without a word", "[silence][layer]") {
  // No seam joins them any more: they are copies. And a toe puff that is the outside's, over the inside's.
  CHECK(of_check(layered([](StyleSpec& style, StyleGrade&) {
                   std::erase_if(style.seams, [](const SeamSpec& one) { return one.name == "back seam"; });
                 }),
                 "layer overlap")
            .empty());
  // Whatever they are called, most of each is the other's.
  const auto renamed = of_check(layered([](StyleSpec&, StyleGrade& grade) {
                                  graded_piece_of(grade, "outside quarter").bound.spec.name = "one";
                                  graded_piece_of(grade, "inside quarter").bound.spec.name = "other";
                                }),
                                "layer overlap");
  for (const StyleFinding& one : renamed) {
    CHECK(one.subject != "one and other");
    CHECK(one.subject != "other and one");
  }
  CHECK(of_check(layered([](StyleSpec&, StyleGrade& grade) {
                   PieceSpec& puff = graded_piece_of(grade, "toe puff").bound.spec;
                   puff.layer = "uppers";
                   puff.name = "puff outside";
                   for (const char* below : {"vamp", "toe cap"})
                     graded_piece_of(grade, below).bound.spec.name += " inside";
                 }),
                 "layer overlap")
            .empty());
}

TEST_CASE("a layer of which pieces are left out is told", "[silence][layer]") {
  CHECK(left_out({}).empty());
  CHECK(left_out({"vamp lining", "facing", "quarter lining", "heel lining"}).empty());  // unlined
  const auto heel_alone = of_check(left_out({"vamp lining", "facing", "quarter lining"}), "layer open");
  REQUIRE(heel_alone.size() == 1);
  CHECK(heel_alone.front().subject == "linings");
  // Each edge that was sewn to what is gone: laps and seams, not raw ones.
  const struct {
    const char* piece;
    const char* edge;
  } cases[] = {{"toe cap", "cap line of vamp (lap)"},
               {"counter", "counter line of outside quarter (lap)"},
               {"vamp lining", "bottom of facing (lap)"},
               {"heel lining", "heel seam of quarter lining (lap)"},
               {"quarter lining", "wing of vamp lining (lap)"}};
  for (const auto& one : cases) {
    INFO(one.piece);
    const auto told = of_check(left_out({one.piece}), "edges alone");
    REQUIRE(told.size() == 1);
    CHECK_THAT(told.front().note, Catch::Contains(one.edge));
  }
  CHECK(of_check(left_out({"toe puff", "stiffener", "tongue"}), "edges alone").empty());
}

TEST_CASE("what one of two copies has and the other has not is told, once for the two",
          "[silence][alike][law]") {
  const LayeredDemo& on = layered_demo();
  const StyleSpec& style = on.d.loaded.spec;
  std::size_t asked = 0;
  test::holds_for_all(
      "an allowance, a treatment, a feature",
      [&] {
        StyleGrade grade = on.d.grade;
        PreparedPiece& outside = graded_piece_of(grade, "outside quarter");
        PreparedPiece& inside = graded_piece_of(grade, "inside quarter");
        const auto e =
            static_cast<std::size_t>(*rc::gen::inRange<int>(0, static_cast<int>(outside.bound.edges.size())));
        const std::string edge = outside.bound.edges[e].spec.name;
        const bool both = *rc::gen::arbitrary<bool>();
        const int what = *rc::gen::inRange(0, 4);
        RC_PRE(edge != "back" || what == 2);  // its seam has checks of its own
        RC_PRE(edge != "top line");           // the inside's is another line
        for (PreparedPiece* piece : {&outside, &inside}) {
          if (piece == &inside && !both) continue;
          BoundEdge& one = bound_edge(grade, piece->bound.spec.name, edge);
          if (what == 0) piece->allowances[e].below = Millimetres(piece->allowances[e].below.value() + 1.0);
          if (what == 1)
            one.spec.treatment =
                one.spec.treatment == Treatment::kRaw ? Treatment::kLasting : Treatment::kRaw;
          if (what == 2) {
            NickWork nick;
            nick.edge = edge;
            nick.station.share = Fraction(1, 3);
            piece->bound.spec.features.push_back({"new", nick, {}});
          }
          if (what == 3) piece->bound.spec.sizes_tied = {{"5", "6", "5.5"}};
        }
        const auto told = check_alike(style, grade);
        RC_ASSERT(told.size() == (both ? 0U : 1U));
        if (!told.empty()) {
          RC_ASSERT(told.front().subject == "outside quarter and inside quarter");
          RC_ASSERT(told.front().worst == 1.0);
          RC_ASSERT(what == 3 || told.front().note.find(edge) != std::string::npos);
        }
        ++asked;
      },
      60);
  CHECK(asked >= 60);
  // A row of eyelets that one has alone; two pieces of different shape are no copies.
  StyleGrade grade = on.d.grade;
  std::erase_if(graded_piece_of(grade, "inside quarter").bound.spec.features,
                [](const FeatureSpec& one) { return one.name == "eyelets"; });
  REQUIRE(check_alike(style, grade).size() == 1);
  CHECK_THAT(check_alike(style, grade).front().note, Catch::Contains("only outside quarter has eyelets"));
}

TEST_CASE("mirrored left out of a back seam is told for all that linings are sewn as", "[silence][seam]") {
  const std::pair<Treatment, Treatment> pairs[] = {{Treatment::kRaw, Treatment::kRaw},
                                                   {Treatment::kRaw, Treatment::kLap},
                                                   {Treatment::kLap, Treatment::kFold},
                                                   {Treatment::kClosedSeam, Treatment::kClosedSeam}};
  for (const auto& [one, other] : pairs) {
    for (const bool mirrored : {false, true}) {
      INFO(name_of(one) << ", " << name_of(other) << (mirrored ? ", mirrored" : ""));
      const auto told = of_check(mates([&](StyleSpec& style, StyleGrade& grade) {
                                   back_seam(style).mirrored = mirrored;
                                   bound_edge(grade, "outside quarter", "back").spec.treatment = one;
                                   bound_edge(grade, "inside quarter", "back").spec.treatment = other;
                                 }),
                                 "seam hands");
      CHECK(told.size() == (mirrored ? 0U : 1U));
    }
  }
}

TEST_CASE("two seams on the same two edges are told, and so are two finished edges", "[silence][seam]") {
  for (const bool turned : {false, true}) {
    const auto told = of_check(mates([&](StyleSpec& style, StyleGrade&) {
                                 SeamSpec again = style.seams.front();
                                 again.name = "again";
                                 if (turned) std::swap(again.one, again.other);
                                 style.seams.push_back(again);
                               }),
                               "seam twice");
    REQUIRE(told.size() == 1);
    CHECK_THAT(told.front().subject, Catch::Contains("again"));
  }
  for (const Treatment treatment : {Treatment::kFold, Treatment::kBound, Treatment::kLap}) {
    const auto told = of_check(mates([&](StyleSpec&, StyleGrade& grade) {
                                 bound_edge(grade, "vamp", "cap line").spec.treatment = treatment;
                               }),
                               "seam treatments");
    CHECK(told.size() == (treatment == Treatment::kLap ? 0U : 1U));
    for (const StyleFinding& one : told) CHECK_THAT(one.note, Catch::Contains("reaches under"));
  }
}

TEST_CASE("each pair of mates is judged, however many an edge has and however the seam is written",
          "[silence][treatment]") {
  const auto told = [](const std::vector<std::string>& quarters, Treatment treatment, bool turned) {
    std::string subjects;
    for (const StyleFinding& one : of_check(mates([&](StyleSpec&style, StyleGrade&grade) {
                                              for (SeamSpec& seam : style.seams) {
                                                if (turned) std::swap(seam.one, seam.other);
                                              }
                                              for (const std::string& name : quarters)
                                                bound_edge(grade, name, "front upper").spec.treatment =
                                                    treatment;
                                            }),
                                            "seam treatments"))
      subjects += one.subject.substr(0, one.subject.find(',')) + ";";
    return subjects;
  };
  const std::string outside = "vamp to outside quarter;";
  const std::string inside = "vamp to inside quarter;";
  for (const bool turned : {false, true}) {
    INFO(turned);
    // Both quarters lie on the vamp's lap, and the tongue's lap lies with it under them.
    CHECK(told({}, Treatment::kLap, turned).empty());
    CHECK(told({"outside quarter"}, Treatment::kLap, turned) == outside);
    CHECK(told({"inside quarter"}, Treatment::kLap, turned) == inside);
    CHECK(told({"outside quarter", "inside quarter"}, Treatment::kLap, turned) ==
          outside + inside + "tongue to vamp;");
    CHECK(told({"outside quarter"}, Treatment::kLasting, turned) == outside);
    CHECK(told({"outside quarter", "inside quarter"}, Treatment::kLasting, turned) == outside + inside);
  }
}

TEST_CASE("two circles have in common what the formula of the lens says", "[layer]") {
  // Weisstein, Circle-Circle Intersection: 2 r2 acos(d / 2r) - d / 2 sqrt(4 r2 - d2).
  const auto circle = [](double x, double r) {
    return ClosedArcPath{{{{x - r, 0.0}, 1.0}, {{x + r, 0.0}, 1.0}}};
  };
  constexpr double kRadius = 50.0;
  for (const double d : {0.0, 10.0, 35.0, 60.0, 90.0, 99.0, 101.0}) {
    INFO(d);
    const double lens = d >= 2.0 * kRadius ? 0.0
                                           : 2.0 * kRadius * kRadius * std::acos(0.5 * d / kRadius) -
                                                 0.5 * d * std::sqrt(4.0 * kRadius * kRadius - d * d);
    CHECK(common_area(circle(0.0, kRadius), circle(d, kRadius)) ==
          Approx(lens).epsilon(0.02).margin(0.002 * kRadius * kRadius));
  }
}
