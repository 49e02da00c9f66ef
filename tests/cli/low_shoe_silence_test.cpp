// A low shoe with one mistake at a time that its maker would not see: each is told, and the sound shoe is not
// accused.
#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::kVampFold;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

constexpr const char* kPieces = "\"pieces\": [";
constexpr const char* kSeams = "\"seams\": [";
constexpr const char* kBoundary = "\"INSOLE\": \"boundary\"";

// A vamp lining on the vamp, sewn to it at the top line.
TextChanges with_lining(const std::string& vamp_feather, const std::string& lining_feather,
                        const std::string& layer = "linings") {
  return {
      {kBoundary, "\"INSOLE\": \"boundary\", \"LINING\": \"boundary\""},
      // The quarter is meant to end at the feather, whatever the vamp does.
      {R"("from": "heel", "to": "side foot"})", R"("from": "heel", "to": "side foot", "treatment": "trim"})"},
      {"{\"name\": \"feather\", \"from\": \"side foot\", \"to\": \"toe\"}",
       "{\"name\": \"feather\", \"from\": \"side foot\", \"to\": \"toe\", " + vamp_feather + "}"},
      {kPieces,
       "\"pieces\": [{\"name\": \"vamp lining\", \"forme\": \"shell\", \"outline\": {\"drawing\": \"d\", "
       "\"layer\": "
       "\"LINING\"}, \"layer\": \"" +
           layer +
           "\", \"fold\": \"fold\", \"corners\": {\"toe\": \"stick end\", \"vamp point\": "
           "\"vamp point\", \"side top\": \"side top\", \"side foot\": \"side foot\"}, \"edges\": "
           "[{\"name\": \"fold\", \"from\": \"toe\", "
           "\"to\": \"vamp point\"}, {\"name\": \"top line\", \"from\": \"vamp point\", \"to\": \"side "
           "top\"}, {\"name\": \"side\", "
           "\"from\": \"side top\", \"to\": \"side foot\"}, {\"name\": \"lining feather\", \"from\": "
           "\"side foot\", \"to\": \"toe\", " +
           lining_feather + "}]}, "},
      {kSeams,
       "\"seams\": [{\"name\": \"top\", \"one\": {\"piece\": \"vamp\", \"edge\": \"top line\"}, "
       "\"other\": {\"piece\": "
       "\"vamp lining\", \"edge\": \"top line\"}}, "}};
}
std::string lining_drawn() {
  return test::polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "LINING");
}

std::string text_drawn(const std::string& text, Vec2 at, const std::string& layer) {
  return test::tags(fmt::format("0 TEXT|8 {}|10 {}|20 {}|40 3|1 {}", layer, at.x, at.y, text));
}

}  // namespace

TEST_CASE("nothing is said of a sound low shoe", "[silence][low]") {
  const std::vector<StyleFinding> all = low_shoe_findings();
  for (const char* check : {"growth", "lasting margin", "in allowance, hole", "hole size", "hole alone",
                            "piece number", "stitch distance", "text and size", "point by name", "base width",
                            "eyelets alone", "seam treatments"}) {
    INFO(check);
    CHECK(findings_named(all, check).empty());
  }
}

TEST_CASE("what is as long as the shoe and does not grow as it does is told", "[silence][low]") {
  const auto tied = [](const char* ties) {
    return TextChanges{
        {"\"layer\": \"INSOLE\"}", std::string("\"layer\": \"INSOLE\"}, \"sizes_tied\": ") + ties}};
  };
  const std::vector<StyleFinding> all = low_shoe_findings(tied(R"([{"from": "6", "to": "7", "as": "7"}])"));
  const std::vector<StyleFinding> told = findings_named(all, "growth");
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "insole");
  CHECK(told[0].worst == Catch::Detail::Approx(25.4 / 3.0).margin(0.01));  // a size of the English scale
  CHECK(told[0].where.size == "6");
  // A quarter is no half as long as the last.
  CHECK(told_of("growth",
                {{"\"layer\": \"QUARTER\"}",
                  R"("layer": "QUARTER"}, "sizes_tied": [{"from": "6", "to": "7", "as": "7"}])"}}) == 0);
  // Nor is a strap, which has a forme of its own and is tied over two sizes; a forme in a girth is one of the
  // last, whatever it is called.
  const auto own = [](const std::string& forme, const std::string& girth) {
    return TextChanges{
        {R"("bottom": {)", "\"" + forme + "\": {"},
        {R"({"forme": "bottom", "line": "tread"})", R"({"forme": ")" + girth + R"(", "line": "tread"})"},
        {R"("name": "insole", "forme": "bottom")", R"("name": "insole", "forme": ")" + forme + "\""},
        {"\"layer\": \"INSOLE\"}",
         R"("layer": "INSOLE"}, "sizes_tied": [{"from": "6", "to": "7", "as": "7"}])"}};
  };
  CHECK(told_of("growth", own("under", "under")) == 1);
  TextChanges strap = own("strap", "strap");
  strap[1] = {R"(, {"forme": "bottom", "line": "tread"})", ""};
  CHECK(told_of("growth", strap) == 0);
}

TEST_CASE("a lining without a lasting margin under a lasted upper is told", "[silence][low]") {
  const std::string lasted = R"("treatment": "lasting", "allowance": 16)";
  CHECK(told_of("lasting margin", with_lining(lasted, "\"treatment\": \"raw\""), lining_drawn()) == 1);
  CHECK(told_of("lasting margin", with_lining(lasted, "\"treatment\": \"lasting\", \"allowance\": 0"),
                lining_drawn()) == 1);
  CHECK(told_of("lasting margin", with_lining("\"treatment\": \"raw\"", lasted), lining_drawn()) == 1);
  // Stated, or lasted both, or neither.
  CHECK(told_of("lasting margin", with_lining(lasted, "\"treatment\": \"trim\""), lining_drawn()) == 0);
  CHECK(told_of("lasting margin", with_lining(lasted, lasted), lining_drawn()) == 0);
  CHECK(told_of("lasting margin", with_lining("\"treatment\": \"raw\"", "\"treatment\": \"raw\""),
                lining_drawn()) == 0);
  // What is sewn to nothing may end at the feather.
  TextChanges puff = with_lining(lasted, "\"treatment\": \"raw\"");
  puff.pop_back();
  CHECK(told_of("lasting margin", puff, lining_drawn()) == 0);
}

TEST_CASE("a raw edge that runs on from a lasted one is told", "[silence][low]") {
  const std::string from_heel = R"({"name": "feather", "from": "heel", "to": "side foot")";
  const std::string to_toe = R"({"name": "feather", "from": "side foot", "to": "toe")";
  const auto feathers = [&](const std::string& quarter, const std::string& vamp) {
    return TextChanges{{from_heel, from_heel + quarter}, {to_toe, to_toe + vamp}};
  };
  const std::string lasted = R"(, "treatment": "lasting", "allowance": 18)";
  CHECK(told_of("lasting margin", feathers(lasted, "")) == 1);
  CHECK(told_of("lasting margin", feathers("", lasted)) == 1);
  CHECK(told_of("lasting margin", feathers(lasted, R"(, "treatment": "lasting", "allowance": 0)")) == 1);
  CHECK(told_of("lasting margin", feathers(lasted, lasted)) == 0);
  CHECK(told_of("lasting margin", feathers("", "")) == 0);
  CHECK(told_of("lasting margin", feathers(lasted, R"(, "treatment": "trim")")) == 0);
  // The one after the next, of a feather in several edges.
  TextChanges parted = feathers(lasted, "");
  parted.back() = {to_toe + "}", R"({"name": "feather", "from": "side foot", "to": "middle"},
    {"name": "front", "from": "middle", "to": "toe"})"};
  parted.push_back({R"("side foot": "side foot"})", R"("side foot": "side foot", "middle": [230, 0]})"});
  CHECK(told_of("lasting margin", parted) == 2);
}

TEST_CASE("raw edges of a seam with unlike allowances are told", "[silence][low]") {
  const TextChanges wide{
      {R"({"name": "side", "from": "side top", "to": "side foot"})",
       R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "raw", "allowance": 8})"}};
  CHECK(told_of("seam treatments", wide) == 1);
  TextChanges both = wide;
  both.push_back(
      {R"({"name": "side", "from": "side foot", "to": "side top"})",
       R"({"name": "side", "from": "side foot", "to": "side top", "treatment": "raw", "allowance": 8})"});
  CHECK(told_of("seam treatments", both) == 0);
  // On a lap nothing reaches past the seam.
  both.back().second.replace(both.back().second.find("raw"), 3, "lap");
  CHECK(told_of("seam treatments", both) == 1);
  both.erase(both.begin());
  CHECK(told_of("seam treatments", both) == 0);
}

TEST_CASE("holes and slots in an allowance, holes for no eyelet and stitches far in are told",
          "[silence][low]") {
  TextChanges in_margin = features(R"({"hole": "rivet", "at": [200, -10], "diameter": 3})");
  in_margin.push_back(
      {R"({"name": "feather", "from": "side foot", "to": "toe"})",
       R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "lasting", "allowance": 20})"});
  CHECK(told_of("in allowance, hole", in_margin) == 1);
  in_margin[0] = features(R"({"slot": "bar", "at": [200, -10], "length": 8, "width": 2})")[0];
  CHECK(told_of("in allowance, hole", in_margin) == 1);
  in_margin[0] = features(R"({"hole": "rivet", "at": [200, 15], "diameter": 3})")[0];
  CHECK(told_of("in allowance, hole", in_margin) == 0);
  CHECK(told_of("hole size", features(R"({"hole": "rivet", "at": [200, 15], "diameter": 15})")) == 1);
  CHECK(told_of("hole size", features(R"({"hole": "rivet", "at": [200, 15], "diameter": 12})")) == 0);
  const std::string row = R"({"stitch_line": "row", "edges": ["top line"], "inset": )";
  CHECK(told_of("stitch distance", features(row + "13}")) == 1);
  CHECK(told_of("stitch distance", features(row + "12}")) == 0);
  // Behind a row of holes it goes round them.
  const std::string holes =
      R"({"eyelets": "e", "edges": ["top line"], "inset": 6, "margin": 10, "count": 3, "diameter": 2.5}, )";
  CHECK(told_of("stitch distance", features(holes + row + "13}")) == 0);
  CHECK(told_of("piece number", {{kVampFold, std::string(kVampFold) + ", \"per_pair\": 13"}}) == 1);
}

TEST_CASE("a hole that its lining or its copy lacks is told where others have theirs", "[silence][low]") {
  const std::string raw = "\"treatment\": \"raw\"";
  const std::string two =
      R"({"hole": "a", "at": [200, 15], "diameter": 3}, {"hole": "b", "at": [220, 12], "diameter": 3})";
  const std::string one = R"({"hole": "a", "at": [200, 15], "diameter": 3})";
  const auto holes = [&](const std::string& upper, const std::string& lining) {
    TextChanges all = with_lining(raw, raw);
    all.push_back({"\"layer\": \"linings\"", "\"layer\": \"linings\", \"features\": [" + lining + "]"});
    all.push_back({kVampFold, std::string(kVampFold) + ", \"features\": [" + upper + "]"});
    return all;
  };
  CHECK(told_of("hole alone", holes(two, one), lining_drawn()) == 1);
  CHECK(told_of("hole alone", holes(one, two), lining_drawn()) == 1);
  const std::vector<StyleFinding> alone =
      findings_named(low_shoe_findings(holes(two, one), lining_drawn()), "hole alone");
  REQUIRE(alone.size() == 1);
  CHECK(alone.front().worst == 1.0);  // b itself, and not its like on the other half
  CHECK(alone.front().note.find("at (220.00, 12.00)") != std::string::npos);
  CHECK(told_of("hole alone", holes(two, two), lining_drawn()) == 0);
  // A hole of another width is for another thing; and where none has its like, none is asked for.
  CHECK(told_of("hole alone", holes(one + R"(, {"hole": "b", "at": [220, 12], "diameter": 5})", one),
                lining_drawn()) == 0);
  CHECK(told_of("hole alone", holes(two, ""), lining_drawn()) == 0);
  const std::string eyelets =
      R"({"eyelets": "e", "edges": ["top line"], "inset": 6, "margin": 10, "count": 3, "diameter": 2.5})";
  CHECK(told_of("eyelets alone", holes(eyelets, ""), lining_drawn()) == 1);
  CHECK(told_of("eyelets alone", holes("", eyelets), lining_drawn()) == 1);
  CHECK(told_of("eyelets alone", holes(eyelets, eyelets), lining_drawn()) == 0);
}

TEST_CASE("texts and names that say another thing than the style are told", "[silence][low]") {
  CHECK(told_of("text and size", {}, text_drawn("VAMP 8 F", {200, 10}, "VAMP")) == 1);
  CHECK(told_of("text and size", {}, text_drawn("VAMP 80", {200, 10}, "VAMP")) == 0);
  CHECK(told_of("text and size", {}, text_drawn("VAMP", {200, 10}, "VAMP")) == 0);
  CHECK(told_of("text and size", features(R"({"text": "t", "at": [200, 10], "says": "7 E"})")) == 1);
  CHECK(told_of("text and size", features(R"({"text": "t", "at": [200, 10], "says": "{size} {width}"})")) ==
        0);
  TextChanges tied = features(R"({"text": "t", "at": [200, 10], "says": "{size} {width}"})");
  tied[0].second += R"(, "sizes_tied": [{"from": "6", "to": "7", "as": "7"}])";
  CHECK(told_of("text and size", tied) == 1);
  // A corner by coordinates, a point of its name 4 mm off.
  const TextChanges corner{{R"("corners": {"toe": "stick end", "vamp point": "vamp point")",
                            R"("corners": {"toe": "stick end", "apex": [200, 40])"},
                           {R"("to": "vamp point"}, {"name": "top line", "from": "vamp point")",
                            R"("to": "apex"}, {"name": "top line", "from": "apex")"},
                           {R"("side top": [140, 30])", R"("side top": [140, 30], "apex": [204, 40])"}};
  CHECK(told_of("point by name", corner) == 1);
  TextChanges on_it = corner;
  on_it.back().second = R"("side top": [140, 30], "apex": [200, 40])";
  CHECK(told_of("point by name", on_it) == 0);
  // Drawn cut, 6 mm outside: the point is the finished corner; 4 mm off that it is told.
  const auto drawn_cut = [](const char* point) {
    TextChanges all{
        {R"("layer": "INSOLE"},)", R"("layer": "CUT"}, "drawn": "cut",)"},
        {kBoundary, R"("CUT": "boundary")"},
        {R"("outside": [190, 245]})", std::string(R"("outside": [190, 245], "in": )") + point + "}"},
        {R"("corners": {"heel": "heel", "inside": "inside", "toe": "toe", "outside": "outside"})",
         R"("corners": {"heel": [-6, 149], "in": [285.4, 149], "toe": [285.4, 251], "out": [-6, 251]})"}};
    const char* const ends[4][2] = {{"heel", "in"}, {"in", "toe"}, {"toe", "out"}, {"out", "heel"}};
    const char* const was[4][2] = {
        {"heel", "inside"}, {"inside", "toe"}, {"toe", "outside"}, {"outside", "heel"}};
    for (int e = 0; e < 4; ++e)
      all.push_back({fmt::format(R"("from": "{}", "to": "{}"}})", was[e][0], was[e][1]),
                     fmt::format(R"("from": "{}", "to": "{}", "treatment": "raw", "allowance": 6}})",
                                 ends[e][0], ends[e][1])});
    return all;
  };
  const std::string cut = test::polyline({{-6, 149}, {285.4, 149}, {285.4, 251}, {-6, 251}}, "CUT");
  CHECK(told_of("point by name", drawn_cut("[279.4, 155]"), cut) == 0);
  CHECK(told_of("point by name", drawn_cut("[285.4, 149]"), cut) == 0);
  CHECK(told_of("point by name", drawn_cut("[275.4, 155]"), cut) == 1);
}

TEST_CASE("a drawing that fits another width of the base size is told with both figures", "[silence][low]") {
  // The ball girth is drawn 180.08 mm round, a quarter of an inch a width.
  const auto base = [](const char* girth) { return TextChanges{{"\"base\": \"180.08 mm\"", girth}}; };
  CHECK(told_of("base width", base("\"base\": \"186.43 mm\"")) == 0);  // the tread fits its own width
  TextChanges both = base("\"base\": \"186.43 mm\"");
  both.push_back({R"("tread": {"base": "90 mm")", R"("tread": {"base": "92.12 mm")"});
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(both), "base width");
  REQUIRE(told.size() == 1);
  CHECK(told[0].note.find("width E of size 8") != std::string::npos);
  CHECK(told[0].note.find("180.08") != std::string::npos);
  CHECK(told[0].note.find("186.43") != std::string::npos);
}

TEST_CASE("a drawing of another unit than its style's size fails", "[silence][low]") {
  // The insole alone is as long as the shoe; all else of the style is as it is.
  const auto scaled = [](double by) {
    std::vector<Vec2> points{{0, 200}, {190, 155}, {279.4, 200}, {190, 245}};
    TextChanges changes{{R"("layer": "INSOLE"})", R"("layer": "BIG"})"}, {kBoundary, R"("BIG": "boundary")"}};
    std::string text =
        R"("heel": [)" + std::to_string(points[0].x) + ", " + std::to_string(by * points[0].y) + "]";
    text += fmt::format(R"(, "toe": [{}, {}], "inside": [{}, {}], "outside": [{}, {}])", by * 279.4, by * 200,
                        by * 190, by * 155, by * 190, by * 245);
    changes.push_back(
        {R"("heel": [0, 200], "toe": [279.4, 200], "inside": [190, 155], "outside": [190, 245])", text});
    for (Vec2& p : points) p = by * p;
    return findings_named(low_shoe_findings(changes, test::polyline(points, "BIG")), "drawing size");
  };
  CHECK(scaled(1.0).empty());
  REQUIRE(scaled(10.0).size() == 1);
  CHECK(!scaled(10.0)[0].passed);
  REQUIRE(scaled(4.0).size() == 1);
  CHECK(scaled(4.0)[0].doubtful);
  CHECK(scaled(4.0)[0].passed);
}

namespace {

// The quarter's copy for the inside of the shoe, with these words of its own.
TextChanges with_copy(const std::string& words, const std::string& vamp_words = {}) {
  TextChanges all{
      {kBoundary, "\"INSOLE\": \"boundary\", \"INNER\": \"boundary\""},
      {kPieces,
       R"("pieces": [{"name": "quarter inside", "forme": "shell", "outline": {"drawing": "d", "layer": "INNER"}, "layer": "uppers",
     "corners": {"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": "back top"},
     "edges": [{"name": "feather", "from": "heel", "to": "side foot"}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"}])" +
           words + "}, "},
      {kSeams,
       R"("seams": [{"name": "inner", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter inside", "edge": "side"}}, )"}};
  if (!vamp_words.empty()) all.push_back({kVampFold, kVampFold + vamp_words});
  return all;
}
std::string copy_drawn(Vec2 grain = {}) {
  std::string all = test::polyline({{0, 0}, {130, 0}, {140, 30}, {0, 60}}, "INNER");
  if (grain.x != 0.0 || grain.y != 0.0) {
    for (const auto& [layer, x] : {std::pair{"INNER", 20.0}, {"QUARTER", 20.0}}) {
      const Vec2 to = std::string(layer) == "INNER" ? Vec2{x, 10.0} + grain : Vec2{x + 40.0, 10.0};
      all += test::tags(fmt::format("0 LINE|8 7|10 {}|20 10|11 {}|21 {}", x, to.x, to.y));
    }
  }
  return all;
}

}  // namespace

TEST_CASE("the two sides of one part differ in material, or their mate is there for one alone",
          "[silence][low]") {
  CHECK(told_of("sides alike", with_copy(""), copy_drawn()) == 0);
  CHECK(told_of("sides alike", with_copy(R"(, "material": "calf")"), copy_drawn()) == 1);
  TextChanges marked = with_copy(
      R"(, "features": [{"size_marks": "size", "code": "sizes", "edge": "feather", "distance": 20, "pitch": 4}])");
  marked.push_back(
      {R"("limits": {)", R"("codes": {"sizes": {"of": "size", "marks": {"6": [1], "7": [2], "8": [3],
                    "9": [1, 2], "10": [1, 3]}}}, "limits": {)"});
  CHECK(told_of("sides alike", marked, copy_drawn()) == 1);  // the other side has lost its size marks
  CHECK(told_of("seam counts", with_copy(""), copy_drawn()) == 0);
  CHECK(told_of("seam counts", with_copy("", R"(, "per_pair": 1)"), copy_drawn()) == 1);
}

TEST_CASE("an allowance that steps within an edge, and a net drawing stated as cut, are told",
          "[silence][low]") {
  const auto parted = [](const char* first, const char* second, const std::string& one = "lasting",
                         const std::string& other = "lasting") {
    return TextChanges{{R"("side top": "side top", "side foot": "side foot"},)",
                        R"("side top": "side top", "side foot": "side foot", "mid": [200, 0]},)"},
                       {R"({"name": "feather", "from": "side foot", "to": "toe"})",
                        R"({"name": "feather", "from": "side foot", "to": "mid", "treatment": ")" + one +
                            R"(", "allowance": )" + first +
                            R"(}, {"name": "fore", "from": "mid", "to": "toe", "treatment": ")" + other +
                            R"(", "allowance": )" + second + "}"}};
  };
  CHECK(told_of("allowance step", parted("16", "12")) == 1);
  CHECK(told_of("allowance step", parted("16", "16.5")) == 0);
  // Of unlike treatments a raw edge and a trimmed one alone: others ask for a step where they end.
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(parted("3", "0", "trim", "raw")), "allowance step");
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "vamp: feather and fore");
  CHECK(told[0].worst == Catch::Detail::Approx(3.0));
  CHECK(told[0].note.find("the edges are trim and raw, ") == 0);
  CHECK(told_of("allowance step", parted("0", "5", "bound", "fold")) == 0);
  CHECK(told_of("allowance step", parted("3", "3", "trim", "fold")) == 0);
  CHECK(told_of("allowance step", parted("8", "0", "lap", "raw")) == 0);
  const std::string lasted = R"("treatment": "lasting", "allowance": 16)";
  const auto drawn = [&](const char* how) {
    TextChanges all = with_lining(lasted, lasted);
    all.push_back(
        {"\"layer\": \"linings\"", std::string("\"layer\": \"linings\", \"drawn\": \"") + how + "\""});
    return all;
  };
  CHECK(told_of("drawn cut", drawn("cut"), lining_drawn()) == 1);
  CHECK(told_of("drawn cut", drawn("net"), lining_drawn()) == 0);
}

TEST_CASE("edges that are sewn edge to edge and drawn apart are told, however far apart they lie",
          "[silence][seam][law]") {
  using namespace lastwright;
  using namespace lastwright::test;
  for (const char* treatment : {"closed seam", "open seam", "bagged", "lap"}) {
    for (const double off : {2.0, 3.5, 8.0, 20.0}) {
      for (const bool lies : {false, true}) {
        CAPTURE(treatment, off, lies);
        const std::string side = R"({"name": "side", "from": "side top", "to": "side foot")";
        const std::string back = R"({"name": "side", "from": "side foot", "to": "side top")";
        const std::string how = fmt::format(R"(, "treatment": "{}")", treatment);
        const std::string named = R"("heel": "heel", "side foot": "side foot", "side top": "side top")";
        const std::string placed = fmt::format(
            R"("heel": "heel", "side foot": [{}, 0], "side top": [{}, 30])", 130 - off, 140 - off);
        TextChanges changes{{side, side + how}, {back, back + how}, {named, placed}};
        const std::string quarter = R"({"name": "quarter", )";
        if (lies) changes.emplace_back(quarter, quarter + R"("lies": "as drawn", )");
        const ScratchFolder folder;
        const std::string style = put_low_shoe(folder, changes);
        put(folder.path() / "d.dxf",
            drawing(polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "VAMP") +
                    polyline({{0, 0}, {130 - off, 0}, {140 - off, 30}, {0, 60}}, "QUARTER") +
                    polyline({{0, 200}, {190, 155}, {279.4, 200}, {190, 245}}, "INSOLE")));
        const Checked<LoadedStyle> load = load_style(style);
        INFO((load.ok() ? std::string() : to_text(load.problems().front())));
        REQUIRE(load.ok());
        const Result<CheckedStyle> checked = check_loaded(*load, false, 1);
        REQUIRE(checked.ok());
        const auto apart = findings_named(checked->found.findings, "seam drawn apart");
        REQUIRE(apart.size() == 1);
        CHECK(apart.front().worst == Approx(off).margin(0.02));
        const bool one_line = treatment != std::string("lap") && !lies;
        CHECK(apart.front().doubtful == (off < 3.0 || one_line));
        CHECK((apart.front().note.find("sewn edge to edge") != std::string::npos) == one_line);
      }
    }
  }
}

TEST_CASE("mates whose ends meet and whose edges do not are told, however far apart they run",
          "[silence][seam]") {
  using namespace lastwright;
  using namespace lastwright::test;
  for (const double bulge : {0.5, 4.0, 8.0}) {
    const ScratchFolder folder;
    const std::string style = put_low_shoe(folder);
    CHECK(findings_named(low_shoe_findings(), "seam drawn apart").empty());
    // The quarter's side, square to the middle of its chord from (130, 0) to (140, 30).
    const Vec2 middle = Vec2{135, 15} + bulge * unit(Vec2{30, -10});
    put(folder.path() / "d.dxf",
        drawing(polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "VAMP") +
                polyline({{0, 0}, {130, 0}, middle, {140, 30}, {0, 60}}, "QUARTER") +
                polyline({{0, 200}, {190, 155}, {279.4, 200}, {190, 245}}, "INSOLE")));
    const Checked<LoadedStyle> load = load_style(style);
    REQUIRE(load.ok());
    const Result<CheckedStyle> checked = check_loaded(*load, false, 1);
    REQUIRE(checked.ok());
    const auto apart = findings_named(checked->found.findings, "seam drawn apart");
    REQUIRE(apart.size() == 1);
    CHECK(apart.front().worst == Approx(bulge).margin(0.02));
    CHECK(apart.front().doubtful);
    CHECK(apart.front().note.find("both ends of one lie on those of the other") != std::string::npos);
  }
}
