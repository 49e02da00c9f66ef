// What no shoe has by common practice, on a low shoe with one such figure at a time: allowances, stitches,
// nicks, steps beside the length, the base size, the foot it is drawn for, and limits that only let something
// pass.
#include <algorithm>
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/checks/lasting/feet_told.hpp"
#include "grading/checks/limit_check.hpp"
#include "grading/jobs/order_job.hpp"
#include "grading/style/style.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

TextChanges vamp_edge(const std::string& edge, const std::string& words) {
  const std::string all = edge == "feather" ? R"({"name": "feather", "from": "side foot", "to": "toe")"
                                            : R"({"name": "side", "from": "side top", "to": "side foot")";
  return {{all + "}", all + ", " + words + "}"}};
}

// The quarter's copy for the other side, both with these words of their own.
TextChanges two_quarters(const std::string& one, const std::string& other) {
  return {
      {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "INNER": "boundary")"},
      {"\"layer\": \"QUARTER\"}, \"layer\": \"uppers\"",
       "\"layer\": \"QUARTER\"}, \"layer\": \"uppers\"" + one},
      {"\"pieces\": [",
       R"("pieces": [{"name": "quarter inside", "forme": "shell", "outline": {"drawing": "d", "layer": "INNER"}, "layer": "uppers",
     "corners": {"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": "back top"},
     "edges": [{"name": "feather", "from": "heel", "to": "side foot", "treatment": "lasting", "allowance": 17}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"}])" +
           other + "}, "},
      {R"([{"name": "feather", "from": "heel", "to": "side foot"}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"}]},
    {"name": "insole")",
       R"([{"name": "feather", "from": "heel", "to": "side foot", "treatment": "lasting", "allowance": 17}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"}]},
    {"name": "insole")"},
      {R"("seams": [)",
       R"("seams": [{"name": "inner", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter inside", "edge": "side"}}, )"}};
}
std::string inner_drawn(Vec2 feather = {130, 0}) {
  std::vector<Vec2> outline{{0, 0}, {130, 0}, {140, 30}, {0, 60}};
  if (feather.x < 130) outline.insert(outline.begin() + 1, feather);
  return test::polyline(outline, "INNER");
}

}  // namespace

TEST_CASE("allowances of raw edges, beside the usual, and falling as sizes grow are told", "[silence][low]") {
  const auto told = [](const std::string& words) {
    return told_of("allowance size", vamp_edge("feather", words));
  };
  CHECK(told(R"("treatment": "lasting", "allowance": 17)") == 0);
  CHECK(told(R"("treatment": "lasting", "allowance": 8)") == 0);
  CHECK(told(R"("treatment": "lasting", "allowance": 7)") == 1);
  CHECK(told(R"("treatment": "lasting", "allowance": 26)") == 1);
  CHECK(told(R"("allowance": 17)") == 1);  // its treatment is left out
  CHECK(told(R"("treatment": "lasting", "allowance": 17, "allowance_from": {"8": 18})") == 0);
  CHECK(told(R"("treatment": "lasting", "allowance": 17, "allowance_from": {"8": 16})") == 1);
  CHECK(told(R"("treatment": "lasting", "allowance": 12, "allowance_from": {"8": 19})") == 1);
  CHECK(told(R"("treatment": "trim", "allowance": 11)") == 1);
  CHECK(told(R"("treatment": "lap", "allowance": 17)") == 1);
}

TEST_CASE("stitches at the very edge and nicks as large as a seam are told", "[silence][low]") {
  const auto row = [](const char* words) {
    return features(std::string(R"({"stitch_line": "r", "edges": ["top line"], )") + words + "}");
  };
  CHECK(told_of("stitch distance", row(R"("inset": 0.8)")) == 0);
  CHECK(told_of("stitch distance", row(R"("inset": 0.2)")) == 1);
  CHECK(told_of("stitch distance", row(R"("inset": 2, "rows": 2, "row_gap": 0.8)")) == 0);
  CHECK(told_of("stitch distance", row(R"("inset": 2, "rows": 2, "row_gap": 0.22)")) == 1);
  const auto nick = [](const char* words) {
    TextChanges all = vamp_edge("feather", R"("treatment": "lasting", "allowance": 17)");
    for (auto& one :
         features(std::string(R"({"nick": "n", "edge": "feather", "share": "1/2", )") + words + "}"))
      all.push_back(std::move(one));
    return all;
  };
  CHECK(told_of("nick size", nick(R"("depth": 8)")) == 0);
  CHECK(told_of("nick size", nick(R"("depth": 9)")) == 1);
  CHECK(told_of("nick size", nick(R"("form": "vee", "width": 30)")) == 1);
}

TEST_CASE("measures that grow out of proportion to the length are told", "[silence][low]") {
  const auto ball = [](const char* size, const char* width) {
    return TextChanges{{R"("per_size": "1/4 in", "per_width": "1/4 in")",
                        std::string(R"("per_size": ")") + size + R"(", "per_width": ")" + width + "\""}};
  };
  CHECK(told_of("measure step", ball("1/4 in", "1/4 in")) == 0);
  CHECK(told_of("measure step", ball("4 mm", "4 mm")) == 0);
  CHECK(told_of("measure step", ball("1/2 in", "1/4 in")) == 1);
  CHECK(told_of("measure step", ball("1/4 cm", "1/4 in")) == 1);
  CHECK(told_of("measure step", ball("1/4 in", "1/2 in")) == 1);
  CHECK(told_of("measure step", ball("1/4 in", "1/14 in")) == 1);
  const auto stick = [](const char* width) {
    return TextChanges{
        {R"({"from_scale": true})",
         std::string(R"({"base": "279.4 mm", "per_size": "1/3 in", "per_width": ")") + width + "\"}"}};
  };
  CHECK(told_of("measure step", stick("0 mm")) == 0);
  CHECK(told_of("measure step", stick("3 mm")) == 1);
}

TEST_CASE("a base size that no length is drawn as, where one is drawn as another's, is told",
          "[silence][low]") {
  const auto base = [](const char* size) {
    return TextChanges{{R"("base": {"size": "8")", std::string(R"("base": {"size": ")") + size + "\""}};
  };
  CHECK(told_of("base size", {}) == 0);
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(base("7")), "base size");
  REQUIRE(told.size() == 1);
  CHECK(told[0].note.find("279.40 in size 8") != std::string::npos);
}

TEST_CASE("an upper and a bottom that are drawn a size apart are told, whatever extra makes up for it",
          "[silence][low]") {
  const auto extra = [](const char* of_bottom) {
    const std::string line = R"("from": "heel", "to": "toe", "carries": {"stick length": 1})";
    return TextChanges{{line, line + R"(, "extra": )" + of_bottom}};
  };
  CHECK(told_of("base size", extra("8.4")) == 0);  // a size is a third of an inch
  CHECK(told_of("base size", extra("8.5")) == 1);
}

TEST_CASE("a large piece on a forme of its own, of which nothing is lasted, is told", "[silence][low]") {
  const auto piece = [](double high, const char* of_tread) {
    const std::string forme = fmt::format(
        R"("apart": {{"points": {{"a": [0, 400], "b": [200, 400], "c": [0, {0}]}}, "base_line": ["a", "b"], "fixed": "a",
        "length_line": "long", "girth_line": "wide", "rules": [
        {{"measure_line": "long", "from": "a", "to": "b", "carries": {{"stick length": "5/7"}}}},
        {{"measure_line": "wide", "from": "a", "to": "c", "carries": {{"tread": "{1}"}}}}]}}, "bottom": {{)",
        400 + high, of_tread);
    const std::string spec = fmt::format(
        R"("pieces": [{{"name": "whole", "forme": "apart", "outline": {{"drawing": "d", "layer": "WHOLE"}},
        "corners": {{"a": "a", "d": [200, {0}]}}, "edges": [{{"name": "one", "from": "a", "to": "d"}}, {{"name": "two", "from": "d", "to": "a"}}]}}, )",
        400 + high);
    return told_of("nothing lasted",
                   {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "WHOLE": "boundary")"},
                    {R"("bottom": {)", forme},
                    {R"("pieces": [)", spec}},
                   test::polyline({{0, 400}, {200, 400}, {200, 400 + high}, {0, 400 + high}}, "WHOLE"));
  };
  CHECK(piece(60, "2/3") == 1);
  CHECK(piece(18, "1/5") == 0);  // a strap is cut as it is finished
}

TEST_CASE("a foot that the bottom is not drawn for is told", "[silence][low]") {
  const auto foot = [](const char* which) {
    return TextChanges{
        {R"("name": "Low shoe",)", std::string(R"("name": "Low shoe", "drawn_foot": ")") + which + "\","}};
  };
  CHECK(told_of("drawn foot", {}) == 0);
  CHECK(told_of("drawn foot", foot("left")) == 0);
  CHECK(told_of("drawn foot", foot("right")) == 1);
  // A piece that says otherwise of itself is judged by that, and so is a bottom where it alone says
  // something.
  const auto with_insole = [](TextChanges changes, const char* which) {
    const std::string outline = R"("outline": {"drawing": "d", "layer": "INSOLE"},)";
    changes.push_back({outline, outline + R"( "drawn_foot": ")" + which + "\","});
    return changes;
  };
  CHECK(told_of("drawn foot", with_insole(foot("left"), "left")) == 0);
  CHECK(told_of("drawn foot", with_insole(foot("left"), "right")) == 1);
  CHECK(told_of("drawn foot", with_insole({}, "left")) == 0);
  CHECK(told_of("drawn foot", with_insole({}, "right")) == 1);
}

// The quarter lies heel left, toe right and top line up: seen so is the outside of a right shoe.
TEST_CASE("a foot that the name of an upper contradicts is told, and every order is told of it",
          "[silence][low]") {
  const auto quarter = [](const std::string& name, const std::string& layer, const std::string& foot,
                          const std::string& more = "") {
    return TextChanges{
        {R"("name": "quarter",)", R"("name": ")" + name + "\"," + more},
        {R"("layer": "QUARTER"}, "layer": "uppers",)",
         R"("layer": "QUARTER"}, "layer": ")" + layer + R"(", "drawn_foot": ")" + foot + "\","},
        {R"("piece": "quarter")", R"("piece": ")" + name + "\""}};
  };
  for (const std::string foot : {"left", "right"}) {
    const bool right = foot == "right";
    INFO(foot);
    CHECK(told_of("drawn foot", quarter("quarter outside", "uppers", foot)) == (right ? 0 : 1));
    CHECK(told_of("drawn foot", quarter("Medial quarter", "uppers", foot)) == (right ? 1 : 0));
    CHECK(told_of("drawn foot", quarter("quarter lining outside", "linings", foot)) == (right ? 1 : 0));
    CHECK(told_of("drawn foot", quarter("quarter", "uppers", foot)) == 0);
    CHECK(told_of("drawn foot", quarter("outer quarter", "uppers", foot)) == 0);  // the outer layer's
    CHECK(told_of("drawn foot", quarter("outside counter pocket", "inner parts", foot)) == 0);
  }
  const std::vector<StyleFinding> found = low_shoe_findings(quarter("quarter outside", "uppers", "left"));
  const std::vector<std::string> lines = feet_told("Low shoe", found);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].starts_with("LOOK: Low shoe: drawn foot, quarter outside: its name says outside"));
  const ScratchFolder folder;
  const Checked<LoadedStyle> load = load_style(test::put_low_shoe(folder, quarter("quarter outside", "uppers", "left")));
  REQUIRE(load.ok());
  const Result<PlannedOrder> planned = plan_order(*load, DieRules{}, {}, nullptr, 1);
  REQUIRE(planned);
  CHECK(std::count(planned->order.notes.begin(), planned->order.notes.end(), lines[0]) == 1);
}

TEST_CASE("the two sides of one part differ in slots, marks, or the feather", "[silence][low]") {
  const auto slot = [](const char* at, const char* more = "") {
    return std::string(R"(, "features": [{"slot": "s", "at": )") + at + R"(, "length": 14, "width": 3)" +
           more + "}]";
  };
  const auto told = [](const std::string& one, const std::string& other,
                       const std::string& drawn = inner_drawn()) {
    return told_of("sides alike", two_quarters(one, other), drawn);
  };
  CHECK(told("", "") == 0);
  CHECK(told(slot("[60, 20]"), slot("[60, 20]")) == 0);
  CHECK(told(slot("[60, 20]"), slot("[64, 20]")) == 1);
  CHECK(told(slot("[60, 20]"), slot("[60, 20]", R"(, "angle": 30)")) == 1);
  CHECK(told(slot("[60, 20]"), "") == 1);
  CHECK(told("", "", inner_drawn({60, -3})) == 1);  // its feather sags
  // A corner of another form, and fewer holes where both have some.
  TextChanges round = two_quarters("", "");
  const std::string corner = R"("side top": "side top")";
  round[2].second.replace(round[2].second.find(corner), corner.size(),
                          R"("side top": {"at": "side top", "form": "round"})");
  CHECK(told_of("sides alike", round, inner_drawn()) == 1);
  const auto holes = [](int on_outside, int on_inside) {
    std::string drawn = inner_drawn();
    TextChanges blocks = two_quarters("", "");
    blocks.push_back({R"("file": "d.dxf")", R"("file": "d.dxf", "inside": "drill holes")"});
    for (const auto& [count, layer] : {std::pair{on_outside, "QUARTER"}, std::pair{on_inside, "INNER"}}) {
      for (int i = 0; i < count; ++i)
        drawn += test::tags(fmt::format("0 CIRCLE|8 {}|10 {}|20 30|40 1.5", layer, 40 + 20 * i));
    }
    return told_of("sides alike", blocks, drawn);
  };
  CHECK(holes(2, 2) == 0);
  CHECK(holes(2, 1) == 1);
  CHECK(holes(1, 0) == 0);  // a buckle sits on one side
}

TEST_CASE("of three groups one that takes the outline of its smallest size is told", "[silence][low]") {
  const auto ties = [](const char* as) {
    return TextChanges{
        {R"("run": {"from": "6", "to": "10")", R"("run": {"from": "6", "to": "11.5", "by": "1/2")"},
        {"\"layer\": \"QUARTER\"}",
         std::string(R"("layer": "QUARTER"}, "sizes_tied": [{"from": "6", "to": "7", "as": "6.5"},
      {"from": "7.5", "to": "9", "as": "8"}, {"from": "9.5", "to": "11.5", "as": ")") +
             as + "\"}]"}};
  };
  CHECK(told_of("tied sizes", ties("10.5")) == 0);
  CHECK(told_of("tied sizes", ties("10")) == 0);
  CHECK(told_of("tied sizes", ties("9.5")) == 1);
  CHECK(told_of("tied sizes", ties("11.5")) == 1);
}

TEST_CASE("what passes by a loosened limit alone is told with its figure", "[silence][limit]") {
  StyleSpec style;
  const auto after = [&](const std::string& check, double worst, double limit, bool least = false) {
    StyleFinding finding{check, "a", worst, limit, "mm", {}, true, ""};
    finding.least = least;
    std::vector<StyleFinding> all = loose_limits(style);
    all.push_back(finding);
    add_passed_by_limit(style, all);
    return findings_named(all, "loose limit");
  };
  CHECK(after("seam", 0.05, 0.1).empty());
  style.seam_limit = Millimetres(0.25);  // not so loose that it is told for itself
  CHECK(after("seam", 0.1, 0.25).empty());
  CHECK(after("seam", 0.2, 0.25).size() == 1);
  CHECK(after("seam, base", 0.2, 0.25).empty());  // judged by another
  style.seam_limit = Millimetres(0.5);
  const std::vector<StyleFinding> told = after("seam", 0.2, 0.5);
  REQUIRE(told.size() == 1);
  CHECK(told[0].note.find("passes by it alone: 0.200 mm") != std::string::npos);
  style = {};
  style.girth_base_limit = 40.0;  // percent: twice what holds
  CHECK(after("base of girth", 25.0, 60.0).empty());
  CHECK(after("base of girth", 31.0, 60.0).size() == 1);
  style = {};
  style.feature_limits.hole_to_edge = Millimetres(1.2);
  CHECK(after("hole to edge", 2.5, 1.2, true).empty());
  CHECK(after("hole to edge", 2.0, 1.2, true).size() == 1);
  style.feature_limits.hole_to_edge = Millimetres(0.0);
  CHECK(after("hole to edge", 2.5, 0.0, true).size() == 1);  // told for itself
}

TEST_CASE("a piece that is stated to lie as drawn and is drawn elsewhere is told", "[silence][low]") {
  // The insole, drawn 100 mm away with its corners, and its points where they were.
  const auto laid = [](double by) {
    const auto at = [&](double x, double y) { return fmt::format("[{}, {}]", x + by, y); };
    return TextChanges{
        {R"("layer": "INSOLE"},
     "corners": {"heel": "heel", "inside": "inside", "toe": "toe", "outside": "outside"})",
         R"("layer": "AWAY"}, "lies": "as drawn", "corners": {"heel": )" + at(0, 200) + R"(, "inside": )" +
             at(190, 155) + R"(, "toe": )" + at(279.4, 200) + R"(, "outside": )" + at(190, 245) + "}"},
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "AWAY": "boundary")"}};
  };
  const auto drawn = [](double by) {
    return test::polyline({{by, 200}, {190 + by, 155}, {279.4 + by, 200}, {190 + by, 245}}, "AWAY");
  };
  CHECK(told_of("drawn elsewhere", laid(0), drawn(0)) == 0);
  CHECK(told_of("drawn elsewhere", laid(300), drawn(300)) == 1);
}

TEST_CASE("a girth line that is in no girth, where another line of its forme is, is told", "[silence][low]") {
  const auto other = [](const char* line) {
    return TextChanges{
        {R"("girth_line": "ball line")", std::string(R"("girth_line": ")") + line + "\""},
        {R"({"straight": ["stick end")",
         R"({"measure_line": "height", "from": "heel", "to": "back top", "carries": {"tread": "2/3"}}, {"straight": ["stick end")"}};
  };
  CHECK(told_of("girth line", other("ball line")) == 0);
  CHECK(told_of("girth line", other("height")) == 1);
}

TEST_CASE("a lasted edge on which a folded one lies is told, and a trimmed one beside a second lasted edge",
          "[silence][low]") {
  const auto quarters = [](const std::string& feather, const std::string& top, const std::string& like) {
    TextChanges all = two_quarters("", "");
    const std::string edge = R"({"name": "top line", "from": "side top", "to": "back top")";
    const std::string lasted = R"("side foot", "treatment": "lasting", "allowance": 17})";
    all[2].second.replace(all[2].second.find(edge), edge.size(), edge + ", " + top);
    all[2].second.replace(all[2].second.find(lasted), lasted.size(), R"("side foot", )" + feather + "}");
    all[3].second.replace(all[3].second.find(edge), edge.size(), edge + ", " + like);
    return told_of("lasted edge", all, inner_drawn());
  };
  const std::string lasting = R"("treatment": "lasting", "allowance": 17)";
  const std::string trim = R"("treatment": "trim", "allowance": 3)";
  CHECK(quarters(lasting, R"("treatment": "fold", "allowance": 5)", trim) == 0);
  CHECK(quarters(lasting, lasting, R"("treatment": "fold", "allowance": 5)") == 1);
  CHECK(quarters(lasting, lasting, trim) == 1);
  CHECK(quarters(trim, lasting, trim) == 0);  // it ends at the feather there
}

TEST_CASE("mates that are not quite drawn on each other are told", "[silence][low]") {
  const auto bulged = [](double by) {
    const std::string drawn =
        test::polyline({{279.4, 0}, {200, 40}, {140, 30}, {135 + by, 15}, {130, 0}}, "BENT");
    return told_of(
        "edges unsewn",
        {{R"("layer": "VAMP"})", R"("layer": "BENT"})"},
         {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "BENT": "boundary")"},
         {R"([{"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}}])",
          "[]"}},
        drawn);
  };
  CHECK(bulged(2) == 1);
  CHECK(bulged(8) == 1);  // as far as they may run: both ends are in common
}

TEST_CASE("two raw edges that lie on each other are told where no seam names them", "[silence][low]") {
  const std::string seams =
      R"([{"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}}])";
  CHECK(told_of("edges unsewn", {{seams, seams}}) == 0);
  CHECK(told_of("edges unsewn", {{seams, "[]"}}) == 1);
}

TEST_CASE("a strap over one girth alone owes nothing to another", "[silence][low]") {
  const auto shoe = [](const std::vector<Vec2>& strap) {
    const auto corner = [&](std::size_t i) { return fmt::format("[{}, {}]", strap[i].x, strap[i].y); };
    const std::string piece =
        R"("pieces": [{"name": "strap", "forme": "shell", "outline": {"drawing": "d", "layer": "STRAP"}, "layer": "straps", "lies": "as drawn",
     "corners": {"one": )" +
        corner(0) + R"(, "two": )" + corner(2) +
        R"(}, "edges": [{"name": "front", "from": "one", "to": "two"}, {"name": "rear", "from": "two", "to": "one"}]}, )";
    return low_shoe_findings(
        {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "STRAP": "boundary")"},
         {R"("ball girth": {"base")",
          R"("waist girth": {"base": "124.5104 mm", "per_size": "3 mm", "per_width": "3 mm"}, "ball girth": {"base")"},
         {R"("points": {"heel": [0, 0])",
          R"("points": {"waist top": [100, 38.5714], "waist foot": [100, 0], "heel": [0, 0])"},
         {R"({"straight": ["stick end")",
          R"({"measure_line": "waist line", "from": "waist top", "to": "waist foot", "carries": {"waist girth": "1/2", "tread": "-1/4"}}, {"straight": ["stick end")"},
         {R"("points": {"heel": [0, 200])",
          R"("points": {"in": [100, 176.3158], "out": [100, 223.6842], "heel": [0, 200])"},
         {R"({"measure_line": "tread")",
          R"({"measure_line": "waist", "from": "in", "to": "out", "carries": {"tread": "1/2"}}, {"measure_line": "tread")"},
         {R"("girths": {)",
          R"("girths": {"waist girth": [{"forme": "shell", "line": "waist line", "times": 2}, {"forme": "bottom", "line": "waist"}], )"},
         {"\"pieces\": [", piece}},
        test::polyline(strap, "STRAP"));
  };
  const auto girth = [](const std::vector<StyleFinding>& all, const std::string& of) {
    for (const StyleFinding& one : findings_named(all, "girth in pieces")) {
      if (one.subject == of) return one;
    }
    return StyleFinding{};
  };
  const std::vector<StyleFinding> across = shoe({{180, 10}, {200, 10}, {200, 30}, {180, 30}});
  CHECK(girth(across, "waist girth, uppers").limit);
  const StyleFinding waist = girth(across, "waist girth, straps");
  CHECK(waist.note.find("no piece of the layer lies on the lines") != std::string::npos);
  CHECK_FALSE(waist.limit);
  CHECK_FALSE(waist.doubtful);
  // One that closes the ball girth is a layer like another, and has to go round the waist as well.
  const StyleFinding closed = girth(shoe({{180, 0}, {200, 0}, {200, 46}, {180, 46}}), "waist girth, straps");
  CHECK(closed.limit);
  CHECK_FALSE(closed.passed);
}

TEST_CASE("what is laid on and stitched down all round is no overlap", "[silence][low]") {
  const auto overlay = [](const char* rows) {
    return told_of(
        "layer overlap",
        {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "OVER": "boundary")"},
         {"\"pieces\": [",
          std::string(
              R"("pieces": [{"name": "overlay", "forme": "shell", "outline": {"drawing": "d", "layer": "OVER"}, "layer": "uppers", "lies": "as drawn",
     "corners": {"one": [60, 10], "two": [90, 30]}, "edges": [{"name": "front", "from": "one", "to": "two"}, {"name": "rear", "from": "two", "to": "one"}],
     "features": [{"stitch_line": "row", "edges": [)") +
              rows + R"(], "inset": 2}]}, )"}},
        test::polyline({{60, 10}, {90, 10}, {90, 30}, {60, 30}}, "OVER"));
  };
  CHECK(overlay(R"("front")") == 1);
  CHECK(overlay(R"("front", "rear")") == 0);
}

TEST_CASE("the feathers of an upper that is sewn to its bottom are not sewn to each other",
          "[silence][low]") {
  const auto strobel = [](const std::string& bottom) {
    TextChanges all = two_quarters("", "");
    for (auto& [from, to] : all) {
      const std::string lasted = R"("treatment": "lasting", "allowance": 17)";
      if (const auto at = to.find(lasted); at != std::string::npos)
        to.replace(at, lasted.size(), R"("treatment": "closed seam", "allowance": 4)");
    }
    const std::string edge = R"({"name": "a", "from": "heel", "to": "inside")";
    all.push_back({edge, edge + bottom});
    return low_shoe_findings(all, inner_drawn());
  };
  const auto told = [&](const std::string& bottom, const std::string& check) {
    std::size_t count = 0;
    for (const StyleFinding& one : findings_named(strobel(bottom), check)) count += one.doubtful;
    return count;
  };
  const std::string sewn = R"(, "treatment": "closed seam", "allowance": 4)";
  CHECK(told("", "edges unsewn") == 1);
  CHECK(told(sewn, "edges unsewn") == 0);
  CHECK(told(sewn, "edges alone") == 0);
}

TEST_CASE("held cut-outs lie where they lie whatever other widths are made", "[ties][low]") {
  const auto cut_outs = [](const char* widths) {
    const std::string drawn = test::polyline({{212, 8}, {236, 9}, {230, 16}, {216, 20}, {209, 15}}, "11");
    const ScratchFolder folder;
    const std::string name = test::put_low_shoe(
        folder,
        {{test::kVampFold,
          std::string(test::kVampFold) + R"(, "cut_outs_held": [{"from": "6", "to": "10", "as": "8"}])"},
         {R"("widths": ["E", "F"])", std::string(R"("widths": [)") + widths + "]"}},
        drawn);
    const Checked<LoadedStyle> load = load_style(name);
    REQUIRE(load.ok());
    const Result<CheckedStyle> checked = check_loaded(*load, false, 1);
    REQUIRE(checked.ok());
    std::vector<ClosedArcPath> all;
    for (std::size_t k = 0; k < checked->grade.run_cells(); ++k) {
      if (checked->grade.cells[k].width.label != "F") continue;
      const GradedPiece vamp = checked->grade.drawn_piece(0, k);
      REQUIRE(vamp.cut_outs.size() == 1);
      all.push_back(vamp.cut_outs[0]);
    }
    return all;
  };
  const std::vector<ClosedArcPath> alone = cut_outs(R"("F")");
  const std::vector<ClosedArcPath> among = cut_outs(R"("A", "F", "H")");
  REQUIRE(alone.size() == among.size());
  for (std::size_t i = 0; i < alone.size(); ++i) {
    CAPTURE(i);
    for (const ArcVertex& corner : alone[i].vertices) CHECK(distance_to(among[i], corner.at) < 2e-3);
  }
}
