// What one of many has otherwise, and what contradicts itself, on a low shoe with one such thing at a time:
// materials, grain lines, size marks, skives, stitches, numbers, texts, codes, lasted edges, breaks.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

const std::string kFeather = R"({"name": "feather", "from": "side foot", "to": "toe"})";

// Patches on the shell, each with words of its own; drawn by patches_drawn.
TextChanges patches(const std::vector<std::string>& words, const std::string& edge = "") {
  std::string layers;
  std::string pieces;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const double x = 10.0 + 15.0 * static_cast<double>(i);
    layers += fmt::format(R"(, "P{}": "boundary")", i);
    pieces += fmt::format(
        R"({{"name": "patch {0}", "forme": "shell", "outline": {{"drawing": "d", "layer": "P{0}"}}, "lies": "as drawn",
     "corners": {{"one": [{1}, 10], "two": [{2}, 20]}}, "edges": [{{"name": "front", "from": "one", "to": "two"{3}}}, {{"name": "rear", "from": "two", "to": "one"}}]{4}}}, )",
        i, x, x + 10, edge, words[i]);
  }
  return {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary")" + layers},
          {"\"pieces\": [", "\"pieces\": [" + pieces}};
}
std::string patches_drawn(std::size_t count, std::size_t without_grain = 99) {
  std::string all;
  for (std::size_t i = 0; i < count; ++i) {
    const double x = 10.0 + 15.0 * static_cast<double>(i);
    all += test::polyline({{x, 10}, {x + 10, 10}, {x + 10, 20}, {x, 20}}, fmt::format("P{}", i));
    if (i != without_grain)
      all += test::tags(fmt::format("0 LINE|8 7|10 {}|20 14|11 {}|21 14", x + 3, x + 7));
  }
  return all;
}

TextChanges and_more(TextChanges all, const TextChanges& more) {
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

std::string text(const std::string& says) {
  return R"(, "features": [{"text": "t", "at": {"edge": "front", "share": "1/2", "inset": 3}, "says": ")" +
         says + R"(", "height": 2}])";
}

}  // namespace

TEST_CASE("one piece of the material of another layer, or without a grain line, is told", "[silence][low]") {
  const std::string calf = R"(, "layer": "tops", "material": "calf 1.4 mm")";
  const std::string lining = R"(, "layer": "tops", "material": "lining 0.9 mm")";
  const std::string inner = R"(, "layer": "linings", "material": "lining 0.9 mm")";
  const auto told = [](const std::vector<std::string>& words, const char* check, std::size_t without = 99) {
    return told_of(check, patches(words), patches_drawn(words.size(), without));
  };
  CHECK(told({calf, calf, calf, calf, inner}, "material") == 0);
  CHECK(told({calf, calf, calf, lining, inner}, "material") == 1);
  CHECK(told({calf, calf, lining, lining, inner}, "material") == 0);  // two are meant so
  CHECK(told({calf, calf, lining, inner}, "material") == 0);          // two are no habit
  CHECK(told({calf, calf, calf, lining}, "material") == 0);           // of a material of its own
  CHECK(told({calf, calf, calf, calf}, "grain") == 0);
  CHECK(told({calf, calf, calf, calf}, "grain", 2) == 1);
  CHECK(told({calf, calf, calf}, "grain", 2) == 0);
}

TEST_CASE("texts that are unlike those of the other pieces are told", "[silence][low]") {
  const auto told = [](const std::string& last, const char* check) {
    return told_of(check,
                   patches({text("{size} {width}"), text("{size}/{width}"), text("{size} {width}"), last}),
                   patches_drawn(4));
  };
  CHECK(told(text("{size} {width}"), "text order") == 0);
  CHECK(told(text("{width} {size}"), "text order") == 1);
  CHECK(told(text("{width} {size}"), "size not said") == 0);
  CHECK(told(text("{piece}"), "size not said") == 1);
  CHECK(told("", "size not said") == 0);
}

TEST_CASE("a drawn text that is the name of another piece is told", "[silence][low]") {
  const auto told = [](const std::string& says) {
    return told_of("name drawn", {}, test::tags("0 TEXT|8 15|10 60|20 20|40 3|1 " + says));
  };
  CHECK(told("QUARTER") == 0);
  CHECK(told("INSOLE") == 1);
  CHECK(told("INSOLE SIDE") == 0);
}

TEST_CASE("a half size that is coded unlike the others is told, and sizes that are named and not made",
          "[silence][low]") {
  const auto code = [](const char* run, const char* nine, const std::string& more = "") {
    return and_more(
        {{R"("run": {"from": "6", "to": "10")", run},
         {R"("seams": [)",
          std::string(
              R"("codes": {"sizes": {"of": "size", "marks": {"6": [1], "6.5": [1, 5], "7": [2], "7.5": [2, 5],
                      "8": [3], "8.5": [3, 5], "9": [)") +
              nine + R"(], "9.5": [1, 3, 5], "10": [2, 3]}}}, "seams": [)"}},
        more.empty() ? TextChanges{}
                     : TextChanges{{"\"layer\": \"QUARTER\"}", "\"layer\": \"QUARTER\"}" + more}});
  };
  const char* halves = R"("run": {"from": "6", "to": "10", "by": "1/2")";
  const char* wholes = R"("run": {"from": "6", "to": "10")";
  CHECK(told_of("code habit", code(halves, "1, 3")) == 0);
  CHECK(told_of("code habit", code(halves, "1, 4")) == 1);
  CHECK(told_of("sizes not made", code(wholes, "1, 3")) == 0);  // a code of the works
  const std::string ties =
      R"(, "sizes_tied": [{"from": "6", "to": "7.5", "as": "7"}, {"from": "8", "to": "9.5", "as": "8"}, {"from": "10", "to": "10", "as": "10"}])";
  CHECK(told_of("sizes not made", code(halves, "1, 3", ties)) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(code(wholes, "1, 3", ties)), "sizes not made");
  REQUIRE(told.size() == 1);
  CHECK(told[0].worst == 4.0);
}

TEST_CASE("size marks along another kind of edge than those of the other pieces, or on one half, are told",
          "[silence][low]") {
  const auto marks = [](const std::string& edge) {
    return R"(, "features": [{"size_marks": "m", "code": "sizes", "edge": ")" + edge +
           R"(", "distance": 4, "pitch": 2.6, "depth": 2}])";
  };
  const std::string lasted = R"(, "treatment": "lasting", "allowance": 10)";
  const TextChanges code{
      {R"("seams": [)",
       R"("codes": {"sizes": {"of": "size", "marks": {"6": [1], "7": [2], "8": [1, 2], "9": [3], "10": [1, 3]}}}, "seams": [)"}};
  const auto told = [&](const std::string& last) {
    return told_of(
        "size marks",
        and_more(patches({marks("front"), marks("front"), marks("front"), marks(last)}, lasted), code),
        patches_drawn(4));
  };
  CHECK(told("front") == 0);
  CHECK(told("rear") == 1);
  // Far apart, and on an edge that is turned in.
  const auto one = [&](const char* pitch, const char* edge) {
    return told_of(
        "size marks",
        and_more(
            patches(
                {std::string(
                     R"(, "features": [{"size_marks": "m", "code": "sizes", "edge": "front", "distance": 1, "pitch": )") +
                 pitch + R"(, "depth": 2}])"},
                edge),
            code),
        patches_drawn(1));
  };
  CHECK(one("2.6", lasted.c_str()) == 0);
  CHECK(one("26", lasted.c_str()) == 1);
  CHECK(one("2.6", R"(, "treatment": "fold", "allowance": 4)") == 1);
}

TEST_CASE("a skive deeper than all others on its material, and one along a sewn edge beside a lap, are told",
          "[silence][low]") {
  const auto skive = [](const char* depth) {
    return std::string(
               R"(, "material": "calf 1.4 mm", "features": [{"skive": "s", "edges": ["front"], "width": 4, "depth": )") +
           depth + "}]";
  };
  const auto told = [&](const char* last) {
    return told_of("skive depth", patches({skive("0.7"), skive("0.8"), skive("0.7"), skive(last)}),
                   patches_drawn(4));
  };
  CHECK(told("0.8") == 0);
  CHECK(told("1.3") == 1);
  CHECK(told("0.4") == 1);
  const auto along = [](const char* edge) {
    return told_of(
        "no skive",
        and_more(
            features(std::string(R"({"skive": "s", "edges": [")") + edge +
                     R"("], "width": 6, "depth": 0.7})"),
            {{R"({"name": "top line", "from": "vamp point", "to": "side top"})",
              R"({"name": "top line", "from": "vamp point", "to": "side top", "treatment": "closed seam", "allowance": 2})"},
             {R"({"name": "side", "from": "side top", "to": "side foot"})",
              R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "lap", "allowance": 8})"}}));
  };
  CHECK(along("side") == 0);
  CHECK(along("top line") == 1);
  const auto figures = [](const char* words, const char* check) {
    return told_of(check, features(std::string(R"({"skive": "s", "edges": ["side"], )") + words + "}"));
  };
  CHECK(figures(R"("width": 6, "depth": 0.3)", "skive depth") == 0);
  CHECK(figures(R"("width": 6, "depth": 0.06)", "skive depth") == 1);
  CHECK(figures(R"("width": 0.8, "depth": 0.6)", "skive width") == 1);
}

TEST_CASE("what is laid on a lap and not stitched, where other folded edges are, is told", "[silence][low]") {
  const auto told = [](const std::string& rows, const char* side = R"("lap", "allowance": 8)") {
    return told_of(
        "lap unstitched",
        {{R"({"name": "side", "from": "side top", "to": "side foot"})",
          std::string(R"({"name": "side", "from": "side top", "to": "side foot", "treatment": )") + side +
              "}"},
         {R"("layer": "QUARTER"}, "layer": "uppers")",
          R"("layer": "QUARTER"}, "layer": "uppers", "features": [{"stitch_line": "r", "edges": [)" + rows +
              R"(], "inset": 2}])"},
         {R"({"name": "feather", "from": "heel", "to": "side foot"}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"})",
          R"({"name": "feather", "from": "heel", "to": "side foot", "treatment": "fold", "allowance": 4}, {"name": "side", "from": "side foot", "to": "side top", "treatment": "fold", "allowance": 4},
               {"name": "top line", "from": "side top", "to": "back top", "treatment": "fold", "allowance": 4}, {"name": "back", "from": "back top", "to": "heel", "treatment": "fold", "allowance": 4})"}});
  };
  CHECK(told(R"("side", "top line", "back")") == 0);
  CHECK(told(R"("top line", "back", "feather")") == 1);
  CHECK(told(R"("top line", "back")") == 0);  // no habit
  CHECK(told(R"("top line", "back", "feather")", R"("raw")") == 0);
}

TEST_CASE("numbers, counts and materials that no shoe has are told", "[silence][low]") {
  const auto vamp = [](const char* words) {
    return TextChanges{
        {test::kVampFold, std::string(test::kVampFold) + words},
        {kFeather,
         R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "lasting", "allowance": 17})"},
        {R"("base_line": ["heel", "stick end"])", R"("role": "upper", "base_line": ["heel", "stick end"])"}};
  };
  CHECK(told_of("piece number", vamp(R"(, "hand": "symmetric", "per_pair": 2)")) == 0);
  CHECK(told_of("piece number", vamp(R"(, "hand": "symmetric", "per_pair": 4)")) == 1);

  const auto holes = [](const char* counts) {
    return features(
        std::string(
            R"({"eyelets": "e", "edges": ["top line"], "inset": 8, "count": 4, "diameter": 3, "counts": [)") +
        counts + "]}");
  };
  CHECK(told_of("hole count", holes(R"({"from": "9", "to": "10", "count": 5})")) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(holes(R"({"from": "9", "to": "10", "count": 3})")), "hole count");
  REQUIRE(told.size() == 1);
  CHECK(to_text(told[0].where) == "size 9");

  const auto soles = [](const char* inner, const char* outer) {
    return told_of(
        "sole thickness",
        {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "OUTER": "boundary")"},
         {R"("layer": "INSOLE"},)", std::string(R"("layer": "INSOLE"}, "material": ")") + inner + "\","},
         {"\"pieces\": [",
          std::string(
              R"("pieces": [{"name": "outsole", "forme": "bottom", "outline": {"drawing": "d", "layer": "OUTER"}, "lies": "as drawn", "material": ")") +
              outer +
              R"(", "corners": {"heel": [-5, 200], "toe": [285, 200]}, "edges": [{"name": "in", "from": "heel", "to": "toe"}, {"name": "out", "from": "toe", "to": "heel"}]}, )"}},
        test::polyline({{-5, 200}, {190, 150}, {285, 200}, {190, 250}}, "OUTER"));
  };
  CHECK(soles("board 2.2 mm", "leather 5 mm") == 0);
  CHECK(soles("leather 5 mm", "board 2.2 mm") == 1);
  CHECK(soles("leather 5 mm", "rubber") == 0);
}

TEST_CASE("a lining lasted with more than its upper, and one whose feather leaves it on the way, are told",
          "[silence][low]") {
  const auto shoe = [](const char* allowance) {
    return TextChanges{
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "LINING": "boundary")"},
        {R"("from": "heel", "to": "side foot"})",
         R"("from": "heel", "to": "side foot", "treatment": "trim"})"},
        {kFeather,
         R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "lasting", "allowance": 17})"},
        {"\"pieces\": [",
         std::string(
             R"("pieces": [{"name": "vamp lining", "forme": "shell", "outline": {"drawing": "d", "layer": "LINING"}, "layer": "linings", "fold": "fold",
     "corners": {"toe": "stick end", "vamp point": "vamp point", "side top": "side top", "side foot": "side foot"},
     "edges": [{"name": "fold", "from": "toe", "to": "vamp point"}, {"name": "top line", "from": "vamp point", "to": "side top"},
               {"name": "side", "from": "side top", "to": "side foot"}, {"name": "feather", "from": "side foot", "to": "toe", "treatment": "lasting", "allowance": )") +
             allowance + "}]}, "}};
  };
  const auto drawn = [](double off) {
    return test::polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}, {180, 0}, {200, off}, {220, 0}},
                          "LINING");
  };
  CHECK(told_of("lasting margin", shoe("15"), drawn(0)) == 0);
  CHECK(told_of("lasting margin", shoe("25"), drawn(0)) == 1);
  CHECK(told_of("feather apart", shoe("15"), drawn(0)) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(shoe("15"), drawn(3)), "feather apart");
  REQUIRE(told.size() == 1);
  CHECK(told[0].worst == Catch::Detail::Approx(3.0).margin(0.2));
  CHECK(told_of("feather apart", shoe("15"), drawn(14)) == 0);  // another edge
}

TEST_CASE("edges of a lining that no seam names, where one names others treated as they are, are told",
          "[silence][low]") {
  const auto told = [](const char* side, const char* lining_side) {
    const auto edge = [](const char* name, const char* from, const char* to, const char* treatment) {
      return fmt::format(R"({{"name": "{}", "from": "{}", "to": "{}", "treatment": "{}", "allowance": 3}})",
                         name, from, to, treatment);
    };
    const std::vector<StyleFinding> all = low_shoe_findings(
        {{R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "LINING": "boundary")"},
         {R"({"name": "top line", "from": "vamp point", "to": "side top"})",
          edge("top line", "vamp point", "side top", "fold")},
         {R"({"name": "side", "from": "side top", "to": "side foot"})",
          edge("side", "side top", "side foot", side)},
         {"\"pieces\": [",
          R"("pieces": [{"name": "vamp lining", "forme": "shell", "outline": {"drawing": "d", "layer": "LINING"}, "layer": "linings", "fold": "fold",
     "corners": {"toe": "stick end", "vamp point": "vamp point", "side top": "side top", "side foot": "side foot"},
     "edges": [{"name": "fold", "from": "toe", "to": "vamp point"}, )" +
              edge("top line", "vamp point", "side top", "trim") + ", " +
              edge("side", "side top", "side foot", lining_side) +
              R"(, {"name": "feather", "from": "side foot", "to": "toe"}]}, )"},
         {R"([{"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}}])",
          R"([{"name": "top", "one": {"piece": "vamp", "edge": "top line"}, "other": {"piece": "vamp lining", "edge": "top line"}}])"}},
        test::polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "LINING"));
    std::size_t count = 0;
    for (const StyleFinding& one : findings_named(all, "edges unsewn"))
      count += one.note.find("a seam joins other edges") != std::string::npos;
    return count;
  };
  CHECK(told("fold", "trim") == 1);
  CHECK(told("lasting", "lasting") == 0);
  CHECK(told("fold", "raw") == 0);
}

TEST_CASE("trimmed edges without an allowance, and one wider than all its like, are told", "[silence][low]") {
  CHECK(
      told_of(
          "allowance size",
          {{kFeather,
            R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "trim", "allowance": 2})"}}) ==
      0);
  CHECK(told_of("allowance size",
                {{kFeather,
                  R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "trim"})"}}) == 1);
  const auto folds = [](const char* last) {
    TextChanges all = patches({"", "", "", ""}, R"(, "treatment": "fold", "allowance": 4)");
    all.push_back(
        {kFeather,
         std::string(
             R"({"name": "feather", "from": "side foot", "to": "toe", "treatment": "fold", "allowance": )") +
             last + "}"});
    return told_of("allowance size", all, patches_drawn(4));
  };
  CHECK(folds("5") == 0);
  CHECK(folds("8") == 1);
}

TEST_CASE("a break that changes a step by much is told", "[silence][low]") {
  const auto ball = [](const char* words) {
    return TextChanges{
        {R"("run": {"from": "6", "to": "10")", R"("run": {"from": "3", "to": "12")"},
        {R"("per_size": "1/4 in", "per_width": "1/4 in"})",
         std::string(R"("per_size": "4 mm", "per_width": "1/4 in", "breaks": [{"from": "11", "to": "12", )") +
             words + "}]}"}};
  };
  CHECK(told_of("measure step", ball(R"("per_size": "5 mm")")) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(ball(R"("per_size": "8 mm")")), "measure step");
  REQUIRE(told.size() == 1);
  CHECK(to_text(told[0].where) == "size 11");
  CHECK(told_of("measure step", ball(R"("per_width": "0 in")")) == 1);
}

TEST_CASE("a piece that stands in the style twice is told", "[silence][low]") {
  const auto insole = [](const std::string& more) {
    return TextChanges{
        {R"("pieces": [)",
         R"("pieces": [{"name": "second", "forme": "bottom", "outline": {"drawing": "d", "layer": "INSOLE"},)" +
             more + R"( "corners": {"heel": "heel", "inside": "inside", "toe": "toe", "outside": "outside"},
     "edges": [{"name": "a", "from": "heel", "to": "inside"}, {"name": "b", "from": "inside", "to": "toe"},
               {"name": "c", "from": "toe", "to": "outside"}, {"name": "d", "from": "outside", "to": "heel"}]}, )"}};
  };
  CHECK(told_of("piece twice", {}) == 0);
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(insole("")), "piece twice");
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "second and insole");
  CHECK(told[0].worst == 4.0);
  CHECK(told_of("piece twice", insole(R"("material": "board",)")) == 0);
  CHECK(told_of("piece twice", insole(R"("layer": "socks",)")) == 0);
}
