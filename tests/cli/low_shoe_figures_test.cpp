// Figures, marks and soles of a low shoe that cannot be meant: each is told.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "grading/checks/said_check.hpp"
#include "grading/checks/sole_check.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::kVampFold;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

TEST_CASE("numbers of bottoms, groups of sizes, skives and texts that cannot be meant are told",
          "[silence][low]") {
  const auto insole = [](const char* words) {
    return TextChanges{{"\"layer\": \"INSOLE\"}", std::string("\"layer\": \"INSOLE\"}, ") + words}};
  };
  CHECK(told_of("piece number", insole(R"("per_pair": 4)")) == 1);
  CHECK(told_of("piece number", insole(R"("per_pair": 2)")) == 0);
  const auto tied = [](const char* ties) {
    return TextChanges{
        {"\"layer\": \"QUARTER\"}", std::string("\"layer\": \"QUARTER\"}, \"sizes_tied\": ") + ties}};
  };
  CHECK(told_of("tied sizes",
                tied(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "8", "to": "10", "as": "9"}])")) == 0);
  CHECK(told_of("tied sizes",
                tied(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "9", "to": "10", "as": "9"}])")) == 1);
  CHECK(told_of("tied sizes", tied(R"([{"from": "6", "to": "7", "as": "7"}])")) == 0);
  CHECK(told_of("tied sizes", tied(R"([{"from": "6", "to": "10", "as": "8"}])")) == 1);
  const auto lap = [](const char* skive, const char* material) {
    return TextChanges{
        {R"({"name": "side", "from": "side top", "to": "side foot"})",
         R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "lap", "allowance": 8})"},
        {kVampFold, std::string(kVampFold) + ", \"material\": \"" + material +
                        "\", \"features\": [{\"skive\": \"s\", \"edges\": [\"side\"], " + skive + "}]"}};
  };
  CHECK(told_of("skive width", lap(R"("width": 11, "depth": 0.8)", "calf 1.4 mm")) == 1);
  CHECK(told_of("skive width", lap(R"("width": 10, "depth": 0.8)", "calf 1.4 mm")) == 0);
  const auto fold = [&](const char* width) {
    TextChanges all = lap(width, "calf 1.4 mm");
    all[0].second.replace(all[0].second.find("\"lap\", \"allowance\": 8"), 21, "\"fold\", \"allowance\": 4");
    return all;
  };
  CHECK(told_of("skive width", fold(R"("width": 10.5, "depth": 0.8)")) == 1);
  CHECK(told_of("skive width", fold(R"("width": 10, "depth": 0.8)")) == 0);
  const auto bound = [](const char* allowance) {
    return TextChanges{{R"({"name": "side", "from": "side top", "to": "side foot"})",
                        R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "bound", )"
                        R"("allowance": )" +
                            std::string(allowance) + "}"}};
  };
  CHECK(told_of("allowance size", bound("4")) == 1);
  CHECK(told_of("allowance size", bound("1")) == 0);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.4)", "calf 1.4 mm")) == 1);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.3)", "calf 1.4 mm")) == 0);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.3)", "calf 14")) == 0);
  CHECK(told_of("text height",
                features(R"({"text": "t", "at": [200, 10], "says": "vamp", "height": 1.4})")) == 1);
  CHECK(told_of("text height",
                features(R"({"text": "t", "at": [200, 10], "says": "vamp", "height": 1.5})")) == 0);
}

TEST_CASE("an outsole that its insole runs out beyond is told", "[silence][low]") {
  const auto with_sole = [](const char* name) {
    return TextChanges{
        {R"("INSOLE": "boundary")", "\"INSOLE\": \"boundary\", \"SOLE\": \"boundary\""},
        {R"("pieces": [)",
         std::string(R"("pieces": [{"name": ")") + name +
             R"(", "forme": "bottom", "outline": {"drawing": "d", "layer": "SOLE"}, "lies": "as drawn",
     "corners": {"back": [-4, 200], "front": [284, 200]}, "edges": [{"name": "one", "from": "back", "to": "front"},
     {"name": "other", "from": "front", "to": "back"}]}, )"}};
  };
  const auto drawn = [](double wide, double front = 284) {
    return test::polyline({{-4, 200}, {190, 200 - wide}, {front, 200}, {190, 200 + wide}}, "SOLE");
  };
  CHECK(told_of("sole size", with_sole("outsole"), drawn(50)) == 0);
  CHECK(told_of("sole size", with_sole("outsole"), drawn(45)) == 0);
  CHECK(told_of("sole size", with_sole("outsole"), drawn(40)) == 1);
  CHECK(told_of("sole size", with_sole("Mid-sole"), drawn(40)) == 1);
  CHECK(told_of("sole size", with_sole("sock"), drawn(40)) == 0);
  // A half sole is no sole of the whole shoe.
  TextChanges half = with_sole("sole");
  half[1].second.replace(half[1].second.find("284"), 3, "240");
  CHECK(told_of("sole size", half, drawn(50, 240)) == 0);
  CHECK(sole_name("INNER_SOLE 37") == SoleName::kInsole);
  CHECK(sole_name("insole cover") == SoleName::kOther);
  CHECK(sole_name("outsole") == SoleName::kSole);
  CHECK(sole_name("storm welt") == SoleName::kEdge);
  CHECK(sole_name("consoles") == SoleName::kOther);
}

TEST_CASE("what was rubbed out of a drawing since the style was drafted fails", "[silence][low]") {
  const auto kept = [](const std::string& stated, int holes) {
    std::string drawn = test::polyline({{240, 5}, {250, 5}, {250, 10}}, "11") +
                        test::tags("0 LINE|8 8|10 150|20 5|11 160|21 5");
    for (int i = 0; i < holes; ++i)
      drawn += test::tags(fmt::format("0 CIRCLE|8 13|10 {}|20 12|40 1.5", 190 + 10 * i));
    const std::vector<StyleFinding> all = findings_named(
        low_shoe_findings({{kVampFold, std::string(kVampFold) + stated}}, drawn), "marks kept");
    REQUIRE(all.size() <= 1);
    return all.empty() || all.front().passed;
  };
  CHECK(kept(R"(, "drawn_marks": {"holes": 2, "cut_outs": 1, "nicks": 0})", 2));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"holes": 2})", 1));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"holes": 2})", 3));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"cut_outs": 2})", 2));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"nicks": 1})", 2));
  CHECK(kept(R"(, "drawn_marks": {"lines": 1})", 1));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"lines": 2})", 1));
  CHECK(kept(R"(, "drawn_marks": {"cut_outs": 1})", 1));  // what is not stated does not fail
  CHECK(kept("", 1));
}

TEST_CASE("rows on one half, a bottom that is lasted and a fold unlike its like are told", "[silence][low]") {
  const std::string row = R"({"stitch_line": "row", "edges": ["top line"], "inset": 4, "both_halves": )";
  CHECK(told_of("half alone", [&] {
          TextChanges all = features(row + "false}");
          all[0].second += R"(, "hand": "symmetric")";
          return all;
        }()) == 1);
  CHECK(told_of("half alone", features(row + "true}")) == 0);
  CHECK(
      told_of(
          "bottom lasted",
          {{R"({"name": "a", "from": "heel", "to": "inside"})",
            R"({"name": "a", "from": "heel", "to": "inside", "treatment": "lasting", "allowance": 12})"}}) ==
      1);
}

TEST_CASE("holes beside the middle of a strap are told", "[silence][low]") {
  // A strap on a forme of its own, its holes at this height above its lower edge.
  const auto strap = [](const char* from, const char* to, const char* more = "") {
    return TextChanges{
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "STRAP": "boundary")"},
        {R"("bottom": {)",
         R"("strap": {"points": {"start": [0, 300], "end": [120, 300], "side": [0, 316]}, "base_line": ["start", "end"],
      "fixed": "start", "length_line": "length", "girth_line": "width",
      "rules": [{"measure_line": "length", "from": "start", "to": "end", "carries": {"stick length": "3/7"}},
                {"measure_line": "width", "from": "start", "to": "side", "carries": {"tread": "1/6"}}]},
    "bottom": {)"},
        {R"("pieces": [)",
         std::string(
             R"("pieces": [{"name": "strap", "forme": "strap", "outline": {"drawing": "d", "layer": "STRAP"},
     "features": [{"eyelets": "e", "through": [)") +
             from + ", " + to + R"(], "count": 4, "diameter": 2.5})" + more +
             R"(], "corners": {"a": "start", "b": "end", "c": [120, 316], "d": "side"},
     "edges": [{"name": "low", "from": "a", "to": "b"}, {"name": "tip", "from": "b", "to": "c"},
               {"name": "high", "from": "c", "to": "d"}, {"name": "end", "from": "d", "to": "a"}]}, )"}};
  };
  const std::string drawn = test::polyline({{0, 300}, {120, 300}, {120, 316}, {0, 316}}, "STRAP");
  CHECK(told_of("off the middle", strap("[70, 308]", "[110, 308]"), drawn) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(strap("[70, 309.5]", "[110, 309.5]"), drawn), "off the middle");
  REQUIRE(told.size() == 1);
  CHECK(told[0].worst == Catch::Detail::Approx(1.5).margin(0.01));
  CHECK(told_of("off the middle", strap("[70, 313]", "[110, 313]"), drawn) == 0);  // along its edge
  CHECK(told_of("off the middle", strap("[70, 307]", "[110, 310]"), drawn) == 0);  // a slanting row is meant
  CHECK(
      told_of("off the middle",
              strap("[70, 306]", "[110, 306]",
                    R"(, {"eyelets": "f", "through": [[70, 310], [110, 310]], "count": 4, "diameter": 2.5})"),
              drawn) == 0);
}

TEST_CASE("a text says a size by its last two words, or after a word for it", "[silence]") {
  SizeRun run;
  run.sizes = {{Fraction(8), "8"}, {Fraction(17, 2), "8.5"}};
  run.widths = {{Fraction(1), "F"}};
  run.base = {run.sizes[0], run.widths[0]};
  CHECK(said_size("VAMP 8.5 F", run).size == "8.5");
  CHECK(said_size("vamp-8/F", run).width == "F");
  CHECK(said_size("size 8", run).size == "8");
  CHECK(said_size("8 F calf", run).size.empty());
  CHECK(said_size("part 8", run).size.empty());
  CHECK(said_size("8", run).size.empty());
  CHECK(said_size("", run).size.empty());
}
