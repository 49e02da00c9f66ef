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

// A lining drawn as the vamp is, sewn to it at the top line.
std::size_t overlaps(const std::string& vamp_layer, const std::string& seam, const std::string& edge = "") {
  return told_of(
      "layer overlap",
      {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "LINING": "boundary")"},
       {R"("layer": "uppers", "fold")", R"("layer": ")" + vamp_layer + R"(", "fold")"},
       {R"({"name": "top line", "from": "vamp point", "to": "side top"})",
        R"({"name": "top line", "from": "vamp point", "to": "side top")" + edge + "}"},
       {R"("pieces": [)",
        R"("pieces": [{"name": "lining", "forme": "shell", "outline": {"drawing": "d", "layer": "LINING"}, "layer": "linings",
     "fold": "fold", "corners": {"toe": "stick end", "vamp point": "vamp point", "side top": "side top", "side foot": "side foot"},
     "edges": [{"name": "fold", "from": "toe", "to": "vamp point"}, {"name": "top", "from": "vamp point", "to": "side top")" +
            edge + R"(}, {"name": "side", "from": "side top", "to": "side foot"},
               {"name": "feather", "from": "side foot", "to": "toe"}]}, )"},
       {kSeam, seam}},
      polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "LINING"));
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
