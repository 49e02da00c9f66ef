// A low shoe whose mates have one end in common, whose top lines lie apart inside and outside, or whose vamp
// is stated in its lining's layer.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::polyline;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

const std::string kSeam =
    R"({"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}})";

// A quarter of its own beside the vamp, instead of the one that is drawn: its foot and its top elsewhere.
TextChanges with_quarter(Vec2 foot, Vec2 top, const std::string& seams = "") {
  return {{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "OTHER": "boundary")"},
          {R"("layer": "QUARTER")", R"("layer": "OTHER")"},
          {R"("side foot": "side foot", "side top": "side top", "back top")",
           fmt::format(R"("side foot": [{}, {}], "side top": [{}, {}], "back top")", foot.x, foot.y, top.x,
                       top.y)},
          {kSeam, seams}};
}
std::size_t unsewn(Vec2 foot, Vec2 top, const std::string& seams = "") {
  return told_of("edges unsewn", with_quarter(foot, top, seams),
                 polyline({{0, 0}, foot, top, {0, 60}}, "OTHER"));
}

// Both quarters, the inside's with its own back top.
std::vector<StyleFinding> top_lines_apart(Vec2 back_top, const std::string& more = "") {
  const std::string inner = fmt::format(
      R"({{"name": "quarter inside", "forme": "shell", "outline": {{"drawing": "d", "layer": "INNER"}}, "layer": "uppers",
     "corners": {{"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": [{}, {}]}},
     "edges": [{{"name": "feather", "from": "heel", "to": "side foot"}}, {{"name": "side", "from": "side foot", "to": "side top"}},
               {{"name": "top line", "from": "side top", "to": "back top"}}, {{"name": "back", "from": "back top", "to": "heel"}}]}}, )",
      back_top.x, back_top.y);
  return findings_named(
      low_shoe_findings(
          {{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "INNER": "boundary")"},
           {R"({"name": "insole")", inner + R"({"name": "insole")"},
           {kSeam, kSeam + R"(, {"name": "inside", "one": {"piece": "vamp", "edge": "side"}, "other":
             {"piece": "quarter inside", "edge": "side"}})" +
                       more}},
          polyline({{0, 0}, {130, 0}, {140, 30}, back_top}, "INNER")),
      "sides apart");
}

// A lining drawn as the vamp is, sewn to it at the top line. `edge` of both, `lining_edge` of the lining
// alone.
TextChanges lined(const std::string& vamp_layer, const std::string& lining_layer, const std::string& seam,
                  const std::string& edge, const std::string& lining_edge) {
  const auto layer = [](const std::string& name) {
    return name.empty() ? std::string() : R"("layer": ")" + name + R"(", )";
  };
  return {
      {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "LINING": "boundary")"},
      {R"("layer": "uppers", "fold")", layer(vamp_layer) + R"("fold")"},
      {R"({"name": "top line", "from": "vamp point", "to": "side top"})",
       R"({"name": "top line", "from": "vamp point", "to": "side top")" + edge + "}"},
      {R"("pieces": [)",
       R"("pieces": [{"name": "lining", "forme": "shell", "outline": {"drawing": "d", "layer": "LINING"}, )" +
           layer(lining_layer) + R"(
     "fold": "fold", "corners": {"toe": "stick end", "vamp point": "vamp point", "side top": "side top", "side foot": "side foot"},
     "edges": [{"name": "fold", "from": "toe", "to": "vamp point"}, {"name": "top", "from": "vamp point", "to": "side top")" +
           lining_edge + R"(}, {"name": "side", "from": "side top", "to": "side foot"},
               {"name": "feather", "from": "side foot", "to": "toe"}]}, )"},
      {kSeam, seam}};
}
const std::string& lining_as_vamp() {
  static const std::string drawn = polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "LINING");
  return drawn;
}
std::size_t overlaps(const std::string& vamp_layer, const std::string& seam, const std::string& edge = "") {
  return told_of("layer overlap", lined(vamp_layer, "linings", seam, edge, edge), lining_as_vamp());
}
std::string top_seam(const std::string& more = "") {
  return R"({"name": "top", "one": {"piece": "vamp", "edge": "top line"}, "other": {"piece": "lining", "edge": "top"})" +
         more + "}";
}

}  // namespace

TEST_CASE("mates that have one end in common and run apart from there are told", "[silence][low][mates]") {
  CHECK(unsewn({126, 0}, {140, 30}) == 1);
  CHECK(unsewn({130, 0}, {136, 31}) == 1);
  CHECK(unsewn({127, 0}, {137, 31}) == 0);  // neither end: two edges with a gap between them
  CHECK(unsewn({124, 0}, {140, 30}) == 0);  // 6 mm: an opening
  // With the seam it is the seam that is told.
  CHECK(unsewn({126, 0}, {140, 30}, kSeam) == 0);
}

TEST_CASE("top lines of the inside and the outside that lie apart are told as a figure",
          "[silence][low][mates]") {
  const std::vector<StyleFinding> told = top_lines_apart({0, 63});
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "top line of quarter and of quarter inside");
  CHECK(told[0].worst == Catch::Detail::Approx(3.0).margin(0.01));
  CHECK_FALSE(told[0].doubtful);
  CHECK(told[0].passed);
  CHECK(top_lines_apart({0, 60}).empty());
  CHECK(top_lines_apart({0, 68}).empty());  // one is an ankle's
}

TEST_CASE("a vamp in its lining's layer is told, sewn to it or not", "[silence][low][mates]") {
  CHECK(overlaps("linings", "") == 1);
  CHECK(overlaps("linings", top_seam()) == 1);
  CHECK(overlaps("uppers", top_seam()) == 0);
  // Two sides that are closed with each other lie so in the drawing.
  CHECK(overlaps("linings", top_seam(R"(, "mirrored": true)")) == 0);
  CHECK(overlaps("linings", top_seam(), R"(, "treatment": "closed seam", "allowance": 3)") == 0);
}

TEST_CASE("a lining whose layer is left out is told", "[silence][low][mates]") {
  const auto left_out = [](const char* vamp, const char* lining, const std::string& seam = "") {
    return findings_named(low_shoe_findings(lined(vamp, lining, seam, "", ""), lining_as_vamp()),
                          "layer left out");
  };
  CHECK(left_out("uppers", "linings").empty());
  const std::vector<StyleFinding> told = left_out("uppers", "");
  REQUIRE(told.size() == 1);
  CHECK(told[0].doubtful);
  CHECK(told[0].worst == 1.0);
  CHECK_THAT(told[0].note, Catch::Contains("lining, which has 38 cm2 in common with vamp"));
  // Of two one is told, sewn to the other as a lining is or not.
  CHECK(left_out("", "").size() == 1);
  CHECK(left_out("uppers", "", top_seam()).size() == 1);
  // What is closed with it lies so in the drawing alone.
  CHECK(left_out("uppers", "", top_seam(R"(, "mirrored": true)")).empty());
  CHECK(findings_named(low_shoe_findings(), "layer left out").empty());
}

TEST_CASE("a lining that ends short of its upper, or with it where its like stand out, is told",
          "[silence][low][mates]") {
  const auto edge = [](const char* treatment, const char* mm) {
    return fmt::format(R"(, "treatment": "{}", "allowance": {})", treatment, mm);
  };
  const auto told = [&](const std::string& vamp, const std::string& lining, bool both_edges = false) {
    TextChanges all = lined("uppers", "linings", "", vamp, lining);
    // The side of the vamp and of its lining as well, folded and trimmed.
    if (both_edges) {
      for (const char* how :
           {", \"treatment\": \"trim\", \"allowance\": 3}", ", \"treatment\": \"fold\", \"allowance\": 4}"})
        all.emplace_back(R"({"name": "side", "from": "side top", "to": "side foot"})",
                         std::string(R"({"name": "side", "from": "side top", "to": "side foot")") + how);
    }
    return findings_named(low_shoe_findings(all, lining_as_vamp()), "lining short");
  };
  const std::vector<StyleFinding> off = told(edge("trim", "4"), edge("raw", "0"));
  REQUIRE(off.size() == 1);
  CHECK(off[0].worst == 4.0);
  CHECK(off[0].subject == "lining: top");
  CHECK(told(edge("trim", "4"), edge("trim", "3")).size() == 1);
  CHECK(told(edge("trim", "4"), edge("trim", "4")).empty());
  CHECK(told(edge("trim", "4"), edge("trim", "6")).empty());
  CHECK(told("", edge("raw", "0")).empty());
  // Under a folded edge it may end with it, unless another of its edges stands out.
  CHECK(told(edge("fold", "4"), edge("raw", "0")).empty());
  CHECK(told(edge("fold", "4"), edge("trim", "3"), true).empty());
  const std::vector<StyleFinding> unlike = told(edge("fold", "4"), edge("raw", "0"), true);
  REQUIRE(unlike.size() == 1);
  CHECK(unlike[0].worst == 3.0);
  CHECK_THAT(unlike[0].note, Catch::Contains("side of lining") && Catch::Contains("top line of vamp"));
  // Wider in larger sizes, and the lining is not.
  const std::vector<StyleFinding> grown =
      told(R"(, "treatment": "trim", "allowance": 4, "allowance_from": {"9": 5})", edge("trim", "4"));
  REQUIRE(grown.size() == 1);
  CHECK(grown[0].where.size == "9");
}

TEST_CASE("mates whose chords were faired are told by how much that may part them", "[silence][seam]") {
  using namespace lastwright;
  using namespace lastwright::test;
  const auto note = [](const std::string& fair) {
    const ScratchFolder folder;
    const std::string file = R"("file": "d.dxf")";
    const std::string style = put_low_shoe(folder, {{file, file + fair}});
    const Vec2 middle = Vec2{135, 15} + 0.5 * unit(Vec2{30, -10});
    put(folder.path() / "d.dxf",
        drawing(polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "VAMP") +
                polyline({{0, 0}, {130, 0}, middle, {140, 30}, {0, 60}}, "QUARTER") +
                polyline({{0, 200}, {190, 155}, {279.4, 200}, {190, 245}}, "INSOLE")));
    const Checked<LoadedStyle> load = load_style(style);
    INFO((load.ok() ? std::string() : to_text(load.problems().front())));
    REQUIRE(load.ok());
    const Result<CheckedStyle> checked = check_loaded(*load, false, 1);
    REQUIRE(checked.ok());
    const auto apart = findings_named(checked->found.findings, "seam drawn apart");
    REQUIRE(apart.size() == 1);
    CHECK(apart.front().worst == Approx(0.5).margin(0.05));
    return apart.front().note;
  };
  const char* const curved = "is one of them curved the wrong way?";
  const char* const faired = "the chords of both were faired, which may part them by up to 0.8 mm";
  // Each by what its drawing is faired within: two sides of 0.4 mm explain half a millimetre, of 0.2 not.
  CHECK_THAT(note(R"(, "fair": {"within": 0.4})"), Catch::Contains(faired) && !Catch::Contains(curved));
  CHECK_THAT(note(R"(, "fair": {"within": 0.2})"), Catch::Contains(curved) && !Catch::Contains("faired"));
  CHECK_THAT(note(""), Catch::Contains(curved) && !Catch::Contains("faired"));
}

TEST_CASE("a stiffener that stands out beyond the back of its quarter is told", "[silence][low][mates]") {
  const auto told = [](double out, double up, const char* name = "stiffener",
                       const char* layer = "inner parts") {
    const std::string stiffener = fmt::format(
        R"({{"name": "{}", "forme": "shell", "outline": {{"drawing": "d", "layer": "INNER"}}, "layer": "{}",
     "corners": {{"foot": [{}, 0], "front": [70, 0], "top": [{}, {}]}},
     "edges": [{{"name": "feather", "from": "foot", "to": "front", "treatment": "lasting", "allowance": 12}},
               {{"name": "upper", "from": "front", "to": "top"}}, {{"name": "back", "from": "top", "to": "foot"}}]}}, )",
        name, layer, -out, -out, up);
    return findings_named(
        low_shoe_findings({{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "INNER": "boundary")"},
                           {R"({"name": "feather", "from": "heel", "to": "side foot"})",
                            R"({"name": "feather", "from": "heel", "to": "side foot", "treatment": "lasting",
                                "allowance": 15})"},
                           {R"({"name": "insole")", stiffener + R"({"name": "insole")"}},
                          polyline({{-out, 0}, {70, 0}, {-out, up}}, "INNER")),
        "back apart");
  };
  const std::vector<StyleFinding> out = told(2.0, 45.0);
  REQUIRE(out.size() == 1);
  CHECK(out[0].doubtful);
  CHECK(out[0].subject == "stiffener: back");
  CHECK(out[0].worst == Catch::Detail::Approx(2.0).margin(0.01));
  CHECK_THAT(out[0].note, Catch::Contains("beyond quarter") && Catch::Contains("over 45 mm"));
  CHECK(told(0.9, 45.0).empty());
  CHECK(told(0.0, 45.0).empty());
  CHECK(told(-3.0, 45.0).empty());
  CHECK(told(2.0, 9.0).empty());                        // over less than 10 mm
  CHECK(told(2.0, 45.0, "counter", "uppers").empty());  // it is seen
  CHECK(told(2.0, 45.0, "counter", "inner parts").size() == 1);
}

TEST_CASE("a lining of both quarters that is sewn to one of them alone is told", "[silence][low][mates]") {
  const auto told = [](const char* per_pair, bool both, const char* inside_layer = "uppers") {
    const auto like_quarter = [](const std::string& name, const std::string& layer, const std::string& more) {
      return fmt::format(
          R"({{"name": "{}", "forme": "shell", "outline": {{"drawing": "d", "layer": "{}"}}, {},
     "corners": {{"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": "back top"}},
     "edges": [{{"name": "feather", "from": "heel", "to": "side foot"}}, {{"name": "side", "from": "side foot", "to": "side top"}},
               {{"name": "top line", "from": "side top", "to": "back top"}}, {{"name": "back", "from": "back top", "to": "heel"}}]}}, )",
          name, layer, more);
    };
    const auto seam = [](const std::string& one) {
      return R"(, {"name": "top of )" + one + R"(", "one": {"piece": ")" + one +
             R"(", "edge": "top line"}, "other": {"piece": "lining", "edge": "top line"}})";
    };
    const std::vector<Vec2> drawn{{0, 0}, {130, 0}, {140, 30}, {0, 60}};
    const std::vector<StyleFinding> all = low_shoe_findings(
        {{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "INNER": "boundary", "LINING": "boundary")"},
         {R"({"name": "insole")",
          like_quarter("quarter inside", "INNER", fmt::format(R"("layer": "{}")", inside_layer)) +
              like_quarter("lining", "LINING",
                           fmt::format(R"("layer": "linings", "per_pair": {})", per_pair)) +
              R"({"name": "insole")"},
         {kSeam, kSeam + seam("quarter") + (both ? seam("quarter inside") : std::string())}},
        polyline(drawn, "INNER") + polyline(drawn, "LINING"));
    std::size_t count = 0;
    for (const StyleFinding& one : findings_named(all, "edges unsewn")) {
      if (one.note.find("the other copy") == std::string::npos) continue;
      ++count;
      CHECK(one.doubtful);
      CHECK(one.subject == "top line of quarter inside and top line of lining");
      CHECK_THAT(one.note, Catch::Contains("to top line of quarter there") &&
                               Catch::Contains("no seam names top line of quarter inside"));
    }
    return count;
  };
  CHECK(told("4", false) == 1);
  CHECK(told("4", true) == 0);
  CHECK(told("2", false) == 0);              // of one quarter, and the other has none
  CHECK(told("4", false, "overlays") == 0);  // no copy of the quarter
}
