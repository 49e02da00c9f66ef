// Steps, groups of sizes and size marks of a low shoe that cannot be meant, and soles for the other foot:
// each is told.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

TEST_CASE("a sole that is drawn turned over is told", "[silence][low]") {
  // The insole with a waist, which runs nearer to the outside.
  const auto sole = [](const char* name) {
    return TextChanges{
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "BENT": "boundary", "SOLE": "boundary")"},
        {R"("layer": "INSOLE"})", R"("layer": "BENT"})"},
        {R"("pieces": [)",
         std::string(R"("pieces": [{"name": ")") + name +
             R"(", "forme": "bottom", "outline": {"drawing": "d", "layer": "SOLE"}, "lies": "as drawn",
     "corners": {"back": [-4, 200], "front": [283.4, 200]}, "edges": [{"name": "one", "from": "back", "to": "front"},
     {"name": "other", "from": "front", "to": "back"}]}, )"}};
  };
  const auto drawn = [](double hand, double waist = 8.0) {
    const auto outline = [&](double hand_of, double rim) {
      std::vector<Vec2> points{{-rim, 0},        {80, -22 - rim + waist}, {190, -45 - rim},
                               {279.4 + rim, 0}, {190, 45 + rim},         {80, 22 + rim + waist}};
      for (Vec2& p : points) p.y = 200 + hand_of * p.y;
      if (hand_of < 0) std::reverse(points.begin(), points.end());
      return points;
    };
    return test::polyline(outline(1.0, 0.0), "BENT") + test::polyline(outline(hand, 4.0), "SOLE");
  };
  CHECK(told_of("sole hand", sole("outsole"), drawn(1.0)) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(sole("outsole"), drawn(-1.0)), "sole hand");
  REQUIRE(told.size() == 1);
  CHECK(told[0].doubtful);
  CHECK(told[0].subject == "insole: outsole");
  CHECK(told[0].worst > 3.0);
  CHECK(told_of("sole hand", sole("p4"), drawn(-1.0)) == 1);            // whatever its name
  CHECK(told_of("sole hand", sole("outsole"), drawn(-1.0, 2.0)) == 0);  // as good as its mirror image
}

TEST_CASE("a length that does not grow by the scale, and a height that does not grow, are told",
          "[silence][low]") {
  const auto stick = [](const char* step, const char* more = "") {
    return TextChanges{{R"("stick length": {"from_scale": true})",
                        std::string(R"("stick length": {"base": "279.4 mm", "per_size": ")") + step + "\"" +
                            R"(, "per_width": "0 mm")" + more + "}"}};
  };
  CHECK(told_of("length step", {}) == 0);
  CHECK(told_of("length step", stick("1/3 in")) == 0);
  CHECK(told_of("length step", stick("8.5 mm")) == 0);  // a third of an inch is 8.467
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(stick("1/4 in")), "length step");
  REQUIRE(told.size() == 1);
  CHECK(told[0].worst == Catch::Detail::Approx(6.35));
  CHECK(told[0].note.find("8.467 mm") != std::string::npos);
  CHECK(told_of("length step",
                stick("1/3 in", R"(, "breaks": [{"from": "8", "to": "10", "per_size": "7 mm"}])")) == 1);
  // A forme that is neither upper nor bottom and in no girth, a strap, grows as it will.
  const auto tread = [](const char* steps) {
    return TextChanges{{R"("tread": {"base": "90 mm", "per_size": "1/12 in")",
                        std::string(R"("tread": {"base": "90 mm", "per_size": )") + steps}};
  };
  CHECK(told_of("measure step", tread("\"1/12 in\"")) == 0);
  CHECK(told_of("measure step", tread("\"0 mm\"")) == 1);
  const auto height = [](const char* base, const char* line) {
    return TextChanges{{R"("ball girth": {"base")",
                        std::string(R"("height": {"base": ")") + base +
                            R"(", "per_size": "0 mm", "per_width": "0 mm"}, "ball girth": {"base")"},
                       {R"({"straight": ["stick end")",
                        std::string(R"({"measure_line": "height", "from": "heel", "to": )") + line +
                            R"(, "carries": {"height": 1}}, {"straight": ["stick end")"}};
  };
  CHECK(told_of("measure step", height("60 mm", "\"back top\"")) == 1);
  TextChanges narrow = height("28 mm", "\"low\"");  // a tab keeps its width
  narrow.push_back({R"("points": {"heel": [0, 0])", R"("points": {"heel": [0, 0], "low": [0, 28])"});
  CHECK(told_of("measure step", narrow) == 0);
}

TEST_CASE("a shaft grows in height by a third of the length step, however tall it is", "[silence][low]") {
  const auto shaft = [](const char* base, const char* step, const char* top) {
    return TextChanges{{R"("points": {"heel": [0, 0])",
                        std::string(R"("points": {"heel": [0, 0], "shaft top": [0, )") + top + "]"},
                       {R"("ball girth": {"base")", std::string(R"("shaft height": {"base": ")") + base +
                                                        R"(", "per_size": ")" + step +
                                                        R"(", "per_width": "0 mm"}, "ball girth": {"base")"},
                       {R"({"straight": ["stick end")",
                        R"({"measure_line": "shaft", "from": "heel", "to": "shaft top",
                            "carries": {"shaft height": 1}}, {"straight": ["stick end")"}};
  };
  for (const char* tall : {"180", "260", "400"}) {
    CAPTURE(tall);
    const std::string base = std::string(tall) + " mm";
    CHECK(told_of("measure step", shaft(base.c_str(), "1/9 in", tall)) == 0);
    CHECK(told_of("measure step", shaft(base.c_str(), "1/16 in", tall)) == 1);
  }
  CHECK(told_of("measure step", shaft("100 mm", "1/30 in", "100")) == 1);  // a low one as before
}

TEST_CASE("what lies across the last and does not grow with the width is told", "[silence][low]") {
  const auto told = [](const char* girth, const char* tread) {
    const TextChanges changes{{R"("per_size": "1/4 in", "per_width": "1/4 in")",
                               std::string(R"("per_size": "1/4 in", "per_width": ")") + girth + "\""},
                              {R"("per_size": "1/12 in", "per_width": "1/12 in")",
                               std::string(R"("per_size": "1/12 in", "per_width": ")") + tread + "\""}};
    std::string subjects;
    for (const StyleFinding& one : findings_named(low_shoe_findings(changes), "measure step"))
      subjects += one.subject + ";";
    return subjects;
  };
  CHECK(told("1/4 in", "0.2 mm") == "tread, by width;");
  CHECK(told("1/4 in", "0 mm") == "tread, by width;");
  CHECK(told("0 mm", "1/12 in") == "ball girth, by width;");
  CHECK(told("0 mm", "0 mm") == "all measures, by width;");  // once; and the length is still in all of them
}

TEST_CASE("a girth is known by its name or by the half that a side carries, without standing under girths",
          "[silence][low]") {
  // The stick grows by 8.467 of 279.4 mm, 3.03 percent.
  const auto told = [](const char* name, double times_size, double times_width, const char* share) {
    constexpr double kBase = 200.0, kStep = kBase * 8.4667 / 279.4;
    const TextChanges changes{
        {R"("points": {"heel": [0, 0])",
         R"("points": {"heel": [0, 0], "shaft back": [0, 120], "shaft front": [100, 120])"},
        {R"("ball girth": {"base")",
         fmt::format(
             R"("{}": {{"base": "{} mm", "per_size": "{:.3f} mm", "per_width": "{:.3f} mm"}}, "ball girth": {{"base")",
             name, kBase, times_size * kStep, times_width * kStep)},
        {R"({"straight": ["stick end")",
         fmt::format(R"({{"measure_line": "shaft", "from": "shaft back", "to": "shaft front",
                         "carries": {{"{}": "{}"}}}}, {{"straight": ["stick end")",
                     name, share)}};
    std::string subjects;
    for (const StyleFinding& one : findings_named(low_shoe_findings(changes), "measure step"))
      subjects += one.subject + ";";
    return subjects;
  };
  for (const char* name : {"shaft girth", "Shaft Girth", "collar"}) {
    CAPTURE(name);
    const std::string by_size = std::string(name) + ", by size;",
                      by_width = std::string(name) + ", by width;";
    CHECK(told(name, 0.8, 0.8, "1/2").empty());
    CHECK(told(name, 0.57, 0.37, "1/2").empty());
    CHECK(told(name, 0.52, 0.8, "1/2") == by_size);
    CHECK(told(name, 0.8, 0.32, "1/2") == by_width);
    CHECK(told(name, 0.8, 0.0, "1/2") == by_width);
  }
  CHECK(told("shaft girth", 0.8, 0.0, "2/5") == "shaft girth, by width;");
  CHECK(told("collar", 0.52, 0.0, "2/5").empty());  // a part of something that none calls a girth
  CHECK(told("collar height", 0.52, 0.0, "1/2").empty());
  CHECK(told("long heel", 0.9, 0.34, "1/2").empty());  // it runs aslant
}

TEST_CASE("a strap that grows by far less or more than the length's share is told", "[silence][low]") {
  // The stick grows by 8.467 of 279.4 mm, 3.03 percent.
  const auto strap = [](const char* base, const char* step, double long_to) {
    const std::string end = fmt::format("[{}, 300]", long_to);
    return findings_named(
        low_shoe_findings(
            {{R"("ball girth": {"base")", std::string(R"("strap length": {"base": ")") + base +
                                              R"(", "per_size": ")" + step +
                                              R"(", "per_width": "0 mm"}, "ball girth": {"base")"},
             {R"("bottom": {)",
              R"("strap": {"points": {"start": [0, 300], "side": [0, 316], "end": )" + end +
                  R"(}, "base_line": ["start", "end"], "fixed": "start", "length_line": "length", "girth_line": "width",
      "rules": [{"measure_line": "length", "from": "start", "to": "end", "carries": {"strap length": 1}},
                {"measure_line": "width", "from": "start", "to": "side", "carries": {"tread": "1/6"}}]},
    "bottom": {)"}}),
        "measure step");
  };
  const std::vector<StyleFinding> told = strap("130 mm", "0.9 mm", 130);
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "strap length, by size");
  CHECK(told[0].doubtful);
  CHECK(told[0].note.find("between 0.33 and 3 times") != std::string::npos);
  CHECK(strap("130 mm", "1.35 mm", 130).empty());
  CHECK(strap("130 mm", "5 mm", 130).empty());
  CHECK(strap("130 mm", "11.5 mm", 130).empty());
  CHECK(strap("130 mm", "12.5 mm", 130).size() == 1);
  CHECK(strap("60 mm", "0.5 mm", 60).empty());  // a tab grows as it will
}

TEST_CASE("groups that take the outlines of unlike sizes are told", "[silence][low]") {
  const auto ties = [](const char* vamp, const char* quarter) {
    return TextChanges{
        {"\"layer\": \"VAMP\"}", std::string("\"layer\": \"VAMP\"}, \"sizes_tied\": ") + vamp},
        {"\"layer\": \"QUARTER\"}", std::string("\"layer\": \"QUARTER\"}, \"sizes_tied\": ") + quarter}};
  };
  const char* const one = R"([{"from": "6", "to": "7", "as": "7"}])";
  CHECK(told_of("tied sizes", ties(one, one)) == 0);
  CHECK(told_of("tied sizes", ties(one, R"([{"from": "6", "to": "7", "as": "6"}])")) == 1);
  CHECK(told_of("tied sizes", ties(one, R"([{"from": "8", "to": "9", "as": "8"}])")) == 0);
  // Three groups of two sizes each, one of which takes the smaller one's outline.
  const auto run = [&](const char* vamp) {
    TextChanges all = ties(vamp, one);
    all.push_back({R"("run": {"from": "6", "to": "10")", R"("run": {"from": "6", "to": "11")"});
    return all;
  };
  CHECK(
      told_of("tied sizes", run(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "8", "to": "9", "as": "9"},
                                      {"from": "10", "to": "11", "as": "11"}])")) == 0);
  CHECK(
      told_of("tied sizes", run(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "8", "to": "9", "as": "8"},
                                      {"from": "10", "to": "11", "as": "11"}])")) == 1);
}

TEST_CASE("whole widths on a ladder that has half ones between them are told", "[silence][low]") {
  const auto told = [](const char* ladder, const char* widths, const char* base) {
    const TextChanges changes{{R"("ladder": "english-letters")", fmt::format(R"("ladder": "{}")", ladder)},
                              {R"("width": "F")", fmt::format(R"("width": "{}")", base)},
                              {R"("widths": ["E", "F"])", fmt::format(R"("widths": [{}])", widths)}};
    std::string notes;
    for (const StyleFinding& one : findings_named(low_shoe_findings(changes), "measure step"))
      notes += one.subject + ": " + one.note;
    return notes;
  };
  const std::string note = told("chinese-types", R"("2", "3")", "2");
  CHECK(note.find("all measures, from width to width: ") == 0);
  CHECK(note.find("ball girth by 12.7 mm") != std::string::npos);
  CHECK(told("chinese-types", R"("2", "2.5")", "2").empty());
  CHECK(told("english-numbers", R"("2", "3")", "2").empty());
  CHECK(told("english-letters", R"("E", "G")", "E").empty());  // letters are known by those between them
}
