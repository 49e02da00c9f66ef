// A low shoe on whose sheet two things contradict each other that no seam joins: pieces of the bottom and
// their feet, backs of two layers, outlines drawn as cut, work along the wrong edge. Each is told, its like
// that is meant is not.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::kVampFold;
using lastwright::test::low_shoe_findings;
using lastwright::test::polyline;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

const std::string kSideSeam =
    R"({"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}})";
const std::string kInsolePiece = R"({"name": "insole")";
const std::string kInsoleLayer = R"("INSOLE": "boundary")";

// A left foot's, its waist hollow on the inside.
const std::vector<Vec2> kLeftInsole{{0, 200},     {40, 170},  {110, 185}, {190, 155}, {250, 165},
                                    {279.4, 200}, {190, 245}, {100, 232}, {30, 228}};
const std::vector<Vec2> kHalfSock{{2, 200},   {40, 172},  {110, 187}, {128, 182},
                                  {128, 233}, {100, 230}, {30, 226}};

std::vector<Vec2> slid(std::vector<Vec2> points, Vec2 by) {
  for (Vec2& p : points) p = p + by;
  return points;
}
// Of a piece on its base line, and in the order of an outline again.
std::vector<Vec2> turned_over(std::vector<Vec2> points) {
  for (Vec2& p : points) p.y = 400.0 - p.y;
  std::reverse(points.begin(), points.end());
  return points;
}
std::vector<Vec2> grown(std::vector<Vec2> points) {
  for (Vec2& p : points) p = {140.0 + 1.03 * (p.x - 140.0), 200.0 + 1.1 * (p.y - 200.0)};
  return points;
}

// The farthest that a corner of one polygon lies out of another, and not by way of arcs.
double out_of(const std::vector<Vec2>& part, const std::vector<Vec2>& whole) {
  double most = 0.0;
  for (const Vec2 p : part) {
    bool inside = false;
    double off = INFINITY;
    for (std::size_t i = 0; i < whole.size(); ++i) {
      const Vec2 a = whole[i];
      const Vec2 b = whole[(i + 1) % whole.size()];
      if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) inside = !inside;
      const double t = std::clamp(dot(p - a, b - a) / dot(b - a, b - a), 0.0, 1.0);
      off = std::min(off, distance(p, a + t * (b - a)));
    }
    if (!inside) most = std::max(most, off);
  }
  return most;
}

struct Bottom {
  std::string insole_foot = {};  // "" for what the style says, left
  std::string outsole_foot = {};
  std::string sock_foot = {};
  std::vector<Vec2> sock = kHalfSock;
  std::string sock_name = "sock";
};
std::vector<StyleFinding> bottom_findings(const Bottom& bottom) {
  const std::vector<Vec2> outsole = grown(kLeftInsole);
  const auto feet = [](const std::string& foot) {
    return foot.empty() ? std::string() : R"(, "drawn_foot": ")" + foot + "\"";
  };
  const auto piece = [&](const std::string& name, const std::string& layer, const std::vector<Vec2>& drawn,
                         const std::string& foot) {
    return fmt::format(
        R"({{"name": "{}", "forme": "bottom", "outline": {{"drawing": "d", "layer": "{}"}}, "lies": "as drawn"{}, "corners": {{"c1": [{}, {}], "c2": [{}, {}]}},
            "edges": [{{"name": "a", "from": "c1", "to": "c2"}}, {{"name": "b", "from": "c2", "to": "c1"}}]}}, )",
        name, layer, feet(foot), drawn[0].x, drawn[0].y, drawn[3].x, drawn[3].y);
  };
  return low_shoe_findings(
      {{kInsoleLayer, R"("INSOLE": "ignore", "LEFT": "boundary", "OUT": "boundary", "SOCK": "boundary")"},
       {R"("scale": "english")", R"("drawn_foot": "left", "scale": "english")"},
       {R"("layer": "INSOLE"})", R"("layer": "LEFT"})" + feet(bottom.insole_foot)},
       {kInsolePiece, piece("outsole", "OUT", outsole, bottom.outsole_foot) +
                          piece(bottom.sock_name, "SOCK", bottom.sock, bottom.sock_foot) + kInsolePiece}},
      polyline(kLeftInsole, "LEFT") + polyline(outsole, "OUT") + polyline(bottom.sock, "SOCK"));
}

// A lining of the quarter, drawn as it is, four of each for a pair.
std::size_t closed_edges(const std::string& quarter, const std::string& lining, int for_a_pair = 4) {
  const std::string pair = fmt::format(R"(, "per_pair": {})", for_a_pair);
  const auto treated = [](const std::string& treatment) {
    return fmt::format(R"(, "treatment": "{}"{})", treatment,
                       treatment == "raw" ? "" : R"(, "allowance": 3)");
  };
  const std::string back = R"({"name": "back", "from": "back top", "to": "heel")";
  return told_of(
      "closed edge",
      {{kInsoleLayer, R"("INSOLE": "boundary", "LINING": "boundary")"},
       {R"("layer": "QUARTER"}, "layer": "uppers")", R"("layer": "QUARTER"}, "layer": "uppers")" + pair},
       {back, back + treated(quarter)},
       {kInsolePiece,
        R"({"name": "quarter lining", "forme": "shell", "outline": {"drawing": "d", "layer": "LINING"}, "layer": "linings")" +
            pair +
            R"(, "corners": {"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": "back top"},
            "edges": [{"name": "feather", "from": "heel", "to": "side foot"}, {"name": "side", "from": "side foot", "to": "side top"},
                      {"name": "top", "from": "side top", "to": "back top"}, )" +
            back + treated(lining) + "}]}, " + kInsolePiece}},
      polyline({{0, 0}, {130, 0}, {140, 30}, {0, 60}}, "LINING"));
}

// A heel of its own forme, so high in the base and so much more in each size, from size 6 to 10.
std::size_t heel_steps(double height, double step) {
  return told_of(
      "measure step",
      {{R"("tread": {"base": "90 mm")",
        fmt::format(
            R"("heel height": {{"base": "{} mm", "per_size": "{} mm", "per_width": "0 mm"}}, "tread": {{"base": "90 mm")",
            height, step)},
       {kInsoleLayer, R"("INSOLE": "boundary", "HEEL": "boundary")"},
       {R"("bottom": {)",
        fmt::format(
            R"("heel cover": {{"points": {{"start": [400, 0], "end": [400, {}], "side": [360, 0]}}, "base_line": ["start", "end"],
           "fixed": "start", "length_line": "height", "girth_line": "spread", "rules": [
           {{"measure_line": "height", "from": "start", "to": "end", "carries": {{"heel height": 1}}}},
           {{"measure_line": "spread", "from": "start", "to": "side", "carries": {{"tread": "4/9"}}}}]}}, "bottom": {{)",
            height)},
       {kInsolePiece,
        fmt::format(
            R"({{"name": "heel cover", "forme": "heel cover", "outline": {{"drawing": "d", "layer": "HEEL"}}, "lies": "as drawn",
           "corners": {{"a": [360, 0], "b": [440, {}]}}, "edges": [{{"name": "e", "from": "a", "to": "b"}}, {{"name": "f", "from": "b", "to": "a"}}]}}, )",
            height) +
            kInsolePiece}},
      polyline({{360, 0}, {440, 0}, {440, height}, {360, height}}, "HEEL"));
}

// The quarter runs so far under the vamp.
std::vector<StyleFinding> drawn_over(double by, const std::string& seams = "") {
  const Vec2 out = by * unit(Vec2{30, -10});  // square to the side
  const Vec2 foot = Vec2{130, 0} + Vec2{norm(out) * norm(Vec2{30, 10}) / 30 * (by < 0 ? -1.0 : 1.0), 0};
  const Vec2 top = Vec2{140, 30} + out;
  return findings_named(
      low_shoe_findings({{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "OTHER": "boundary")"},
                         {R"("layer": "QUARTER")", R"("layer": "OTHER")"},
                         {R"("side foot": "side foot", "side top": "side top", "back top")",
                          fmt::format(R"("side foot": [{}, {}], "side top": [{}, {}], "back top")", foot.x,
                                      foot.y, top.x, top.y)},
                         {kSideSeam, seams}},
                        polyline({{0, 0}, foot, top, {0, 60}}, "OTHER")),
      "drawn net");
}

const std::string kVampTop = R"({"name": "top line", "from": "vamp point", "to": "side top")";
const std::string kVampSide = R"({"name": "side", "from": "side top", "to": "side foot")";
const std::string kVampFeather = R"({"name": "feather", "from": "side foot", "to": "toe")";
const std::string kQuarterTop = R"({"name": "top line", "from": "side top", "to": "back top")";
const std::string kQuarterWords = R"("layer": "QUARTER"}, "layer": "uppers")";

// Folded top lines, a lasted feather, the vamp lapping under the quarter; with these features.
std::size_t work_told(const char* check, const std::string& on_vamp, const std::string& on_quarter) {
  TextChanges all{{kVampTop, kVampTop + R"(, "treatment": "fold", "allowance": 5)"},
                  {kVampSide, kVampSide + R"(, "treatment": "lap", "allowance": 8)"},
                  {kVampFeather, kVampFeather + R"(, "treatment": "lasting", "allowance": 16)"},
                  {kQuarterTop, kQuarterTop + R"(, "treatment": "fold", "allowance": 5)"}};
  for (const auto& [made, words] :
       {std::pair{on_vamp, std::string(kVampFold)}, {on_quarter, kQuarterWords}}) {
    if (!made.empty()) all.push_back(features(made, words).front());
  }
  return told_of(check, all);
}

}  // namespace

TEST_CASE("pieces of one bottom that are stated for unlike feet are told", "[silence][low][told]") {
  for (int feet = 0; feet < 8; ++feet) {
    const auto foot = [&](int bit) { return (feet & bit) != 0 ? std::string("right") : std::string(); };
    const std::vector<StyleFinding> all = bottom_findings({foot(1), foot(2), foot(4)});
    const std::vector<StyleFinding> told = findings_named(all, "sole feet");
    const int right = static_cast<int>(!foot(1).empty()) + static_cast<int>(!foot(2).empty()) +
                      static_cast<int>(!foot(4).empty());
    INFO(feet);
    REQUIRE(told.size() == static_cast<std::size_t>(std::min(right, 3 - right)));
    for (const StyleFinding& one : told) CHECK(one.doubtful);
    if (feet == 2) CHECK(told[0].subject == "insole: outsole");
    if (feet == 4) CHECK(told[0].subject == "insole: sock");
    if (feet == 6) CHECK(told[0].subject == "outsole: insole");
  }
  // Of what serves both feet none is stated.
  CHECK(findings_named(bottom_findings({{}, {}, "both"}), "sole feet").empty());
}

TEST_CASE("a half sock that runs out of the insole, or is drawn turned over, is told",
          "[silence][low][told]") {
  const auto told = [](const std::vector<Vec2>& sock, const std::string& name = "sock") {
    const std::vector<StyleFinding> all = bottom_findings({{}, {}, {}, sock, name});
    std::vector<StyleFinding> some = findings_named(all, "sole place");
    for (const StyleFinding& one : findings_named(all, "sole hand")) some.push_back(one);
    return some;
  };
  for (const Vec2 by : {Vec2{0, 0}, {0.5, 0.5}, {3, 0}, {-4, 1}, {0, 6}, {0, -7}, {90, 0}, {2, 25}}) {
    const std::vector<Vec2> sock = slid(kHalfSock, by);
    const double out = out_of(sock, kLeftInsole);
    const std::vector<StyleFinding> found = told(sock);
    INFO(by.x << ", " << by.y << ": " << out);
    if (out <= 1.0) CHECK(found.empty());
    if (out > 3.0) {
      REQUIRE(found.size() == 1);
      CHECK(found[0].worst == Catch::Detail::Approx(out).margin(0.01));
    }
  }
  const std::vector<StyleFinding> over = told(turned_over(kHalfSock));
  REQUIRE(over.size() == 1);
  CHECK(over[0].check == "sole hand");
  // As wide on both sides of its own middle, it would fit when it is shifted; but as it lies it is the image.
  const std::vector<StyleFinding> even = told(turned_over({{45, 178}, {75, 178}, {75, 228}, {45, 228}}));
  REQUIRE(even.size() == 1);
  CHECK(even[0].check == "sole hand");
  // What covers the edge, or goes round it, runs out.
  CHECK(told(slid(kHalfSock, {0, 6}), "heel wrap").empty());
  CHECK(told(slid(kHalfSock, {-10, 0}), "half sole").empty());
  const std::vector<StyleFinding> beside = told(slid(kHalfSock, {0, 300}), "heel wrap");
  REQUIRE(beside.size() == 1);
  CHECK(beside[0].check == "sole place");
}

TEST_CASE("an edge that is closed in one layer and not in the other is told", "[silence][low][told]") {
  for (const char* other : {"raw", "lasting", "lap", "fold", "bound", "trim"}) {
    INFO(other);
    CHECK(closed_edges(other, "closed seam") == 1);
  }
  CHECK(closed_edges("open seam", "lasting") == 1);
  for (const char* other : {"closed seam", "open seam", "bagged"})
    CHECK(closed_edges("closed seam", other) == 0);
  CHECK(closed_edges("fold", "trim") == 0);
  // One side of the shoe alone: what closes it is another piece.
  CHECK(closed_edges("raw", "closed seam", 2) == 0);
  CHECK(closed_edges("lasting", "closed seam", 2) == 1);
}

TEST_CASE("a step of a small part is judged by what the run makes of it", "[silence][low][told]") {
  CHECK(heel_steps(55, 0.5) == 0);
  CHECK(heel_steps(55, 2) == 0);
  CHECK(heel_steps(55, 6) == 1);
  CHECK(heel_steps(20, 1) == 0);
  CHECK(heel_steps(20, 2.5) == 1);
}

TEST_CASE("pieces whose edges lie over each other alike look drawn as cut", "[silence][low][told]") {
  for (const double by : {2.0, 8.0, 20.0}) {
    const std::vector<StyleFinding> told = drawn_over(by);
    INFO(by);
    REQUIRE(told.size() == 1);
    CHECK(told[0].worst == Catch::Detail::Approx(by).margin(0.05));
    CHECK(told[0].doubtful);
  }
  for (const double by : {0.0, 0.5, -8.0}) CHECK(drawn_over(by).empty());
  CHECK(drawn_over(8.0, kSideSeam).empty());  // the seam tells of it
}

TEST_CASE("two edges between the same ends are told however far they run apart", "[silence][low][told]") {
  const auto unsewn = [](Vec2 middle, const std::string& treatment = "") {
    const auto edge = [&](const std::string& words) {
      return TextChanges{
          {words, words + (treatment.empty() ? "" : R"(, "treatment": ")" + treatment + "\"")}};
    };
    TextChanges all{{R"("QUARTER": "boundary")", R"("QUARTER": "boundary", "OTHER": "boundary")"},
                    {R"("layer": "QUARTER")", R"("layer": "OTHER")"},
                    {kSideSeam, ""}};
    all.push_back(edge(kVampSide).front());
    all.push_back(edge(R"({"name": "side", "from": "side foot", "to": "side top")").front());
    return told_of("edges unsewn", all, polyline({{0, 0}, {130, 0}, middle, {140, 30}, {0, 60}}, "OTHER"));
  };
  for (const double by : {1.5, 4.0, 7.0, 10.0}) {
    INFO(by);
    CHECK(unsewn({135 - by, 15 + by / 3}) == 1);
  }
  CHECK(unsewn({95, 15}) == 0);             // much longer: the way round an opening
  CHECK(unsewn({128, 17.3}, "fold") == 0);  // and so what is folded on both sides
}

TEST_CASE("work that is stated along the wrong edge or on the wrong piece is told", "[silence][low][told]") {
  const std::string on_fold = R"({"skive": "s", "edges": ["top line"], "width": 9, "depth": 0.5})";
  const std::string on_feather = R"({"skive": "s", "edges": ["feather"], "width": 9, "depth": 0.5})";
  CHECK(work_told("no skive", on_feather, on_fold) == 1);
  CHECK(work_told("no skive", on_fold + R"(, {"skive": "f", "edges": ["feather"], "width": 9, "depth": 0.5})",
                  on_fold) == 0);
  CHECK(work_told("no skive", on_feather, "") == 0);  // nobody skives its folds
  const std::string row = R"({"stitch_line": "r", "edges": ["top line"], "inset": 1.5})";
  const std::string lasted_row = R"({"stitch_line": "r", "edges": ["feather"], "inset": 1.5})";
  const std::string side_row = R"({"stitch_line": "q", "edges": ["side"], "inset": 1.5})";
  CHECK(work_told("no stitches", lasted_row, row) == 1);
  CHECK(work_told("no stitches", row, row) == 0);
  CHECK(work_told("no stitches", lasted_row, "") == 0);
  CHECK(work_told("no stitches", side_row, "") == 1);
  CHECK(work_told("no stitches", side_row, side_row) == 0);
  CHECK(work_told("no stitches", "", side_row) == 0);
  const std::string text = R"({"text": "t", "at": [200, 15], "height": 3, "says": ")";
  CHECK(work_told("name drawn", text + R"(QUARTER {size}"})", "") == 1);
  CHECK(work_told("name drawn", text + R"({size} Vamp"})", "") == 0);
  CHECK(work_told("name drawn", text + R"({size} {width}"})", "") == 0);
}

TEST_CASE("a base line off the way in which the length is measured is told", "[silence][low][told]") {
  const auto told = [](Vec2 end) {
    return told_of(
        "line direction",
        {{R"("points": {"heel")", fmt::format(R"("points": {{"end": [{}, {}], "heel")", end.x, end.y)},
         {R"("base_line": ["heel", "stick end"])", R"("base_line": ["heel", "end"])"}});
  };
  for (const double degrees : {0.0, 10.0, 14.0, -14.0})
    CHECK(told(turned({200, 0}, degrees * 0.0174533)) == 0);
  for (const double degrees : {16.0, 23.0, -16.0}) CHECK(told(turned({200, 0}, degrees * 0.0174533)) == 1);
}
