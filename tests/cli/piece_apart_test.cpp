// A sole drawn beside the insole it belongs under: refused, then laid where it says, then the same set.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <sstream>
#include <string>
#include <vector>

#include "geometry/vec2.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/dxf_maker.hpp"
#include "tests/support/elsewhere.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using lastwright::support::Elsewhere;
using lastwright::support::elsewhere;
using lastwright::test::run_binary;
using lastwright::test::says;

namespace {

const std::vector<Vec2> kInsole{{0, 0},   {30, -28}, {120, -26}, {190, -44}, {250, -25},
                                {270, 0}, {240, 30}, {190, 42},  {120, 27},  {30, 28}};
const std::vector<Vec2> kOutsole{{-2, 0},  {30, -31}, {120, -29}, {190, -47}, {252, -28},
                                 {273, 0}, {242, 33}, {190, 45},  {120, 30},  {30, 31}};

std::string outline_tags(const std::vector<Vec2>& points, const std::string& layer) {
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, points.size());
  for (const Vec2 p : points) text += fmt::format("|10 {:.17g}|20 {:.17g}", p.x, p.y);
  return test::tags(text);
}

std::string sheet(const Elsewhere& shown) {
  std::vector<Vec2> outsole;
  for (const Vec2 p : kOutsole) outsole.push_back(shown(p));
  return test::drawing(outline_tags(kInsole, "INSOLE") + outline_tags(outsole, "OUTSOLE"));
}

std::string style(const Elsewhere& shown, const std::string& lies) {
  const auto at = [&](Vec2 p) { return fmt::format("[{:.17g}, {:.17g}]", shown(p).x, shown(p).y); };
  return fmt::format(R"({{
    "lastwright_style": 1, "name": "Sole", "scale": "english", "ladder": "english-letters",
    "base": {{"size": "8", "width": "F"}}, "run": {{"from": "7", "to": "9", "widths": ["F", "G"]}},
    "measures": {{"stick length": {{"from_scale": true}}, "tread": {{"base": 86, "per_size": "1/12 in", "per_width": 2}}}},
    "drawings": {{"d": {{"file": "d.dxf", "layers": {{"INSOLE": "boundary", "OUTSOLE": "boundary"}}}}}},
    "formes": {{"sole": {{
      "points": {{"heel": [0, 0], "toe": [270, 0], "inside": [190, -44], "outside": [190, 42], "sole heel": [-2, 0], "sole toe": [273, 0], "welt": [120, 30]}},
      "base_line": ["heel", "toe"], "fixed": "heel", "length_line": "length", "girth_line": "tread",
      "rules": [{{"measure_line": "length", "from": "heel", "to": "toe", "carries": {{"stick length": 1}}}},
                {{"measure_line": "tread", "from": "inside", "to": "outside", "carries": {{"tread": 1}}}},
                {{"point": "welt", "per_size": [4, 0.8], "per_width": [0, 0]}}]}}}},
    "pieces": [
      {{"name": "insole", "forme": "sole", "outline": {{"drawing": "d", "layer": "INSOLE"}},
        "corners": {{"heel": "heel", "toe": "toe"}},
        "edges": [{{"name": "inside", "from": "heel", "to": "toe"}}, {{"name": "outside", "from": "toe", "to": "heel"}}]}},
      {{"name": "outsole", "forme": "sole", "outline": {{"drawing": "d", "layer": "OUTSOLE"}}, {}
        "corners": {{"sole heel": {}, "sole toe": {}}},
        "edges": [{{"name": "inside", "from": "sole heel", "to": "sole toe", "allowance": 2}}, {{"name": "outside", "from": "sole toe", "to": "sole heel", "allowance": 2}}],
        "features": [{{"hole": "peg", "at": {}, "diameter": 3}}]}}
    ]}})",
                     lies, at({-2, 0}), at({273, 0}), at({100, -8}));
}

// Of two texts that differ in their numbers only; infinite where they differ in more.
double farthest(const std::string& a, const std::string& b) {
  std::istringstream one(a);
  std::istringstream other(b);
  double worst = 0.0;
  std::string x;
  std::string y;
  while (one >> x) {
    if (!(other >> y)) return INFINITY;
    if (x == y) continue;
    char* end_x = nullptr;
    char* end_y = nullptr;
    const double off = std::abs(std::strtod(x.c_str(), &end_x) - std::strtod(y.c_str(), &end_y));
    if (*end_x != '\0' || *end_y != '\0') return INFINITY;
    worst = std::max(worst, off);
  }
  return other >> y ? INFINITY : worst;
}

struct Ran {
  int exit_code;
  std::string output;
  std::map<std::string, std::string> pieces;
};

Ran graded(const Elsewhere& shown, const std::string& lies) {
  const ScratchFolder folder;
  put(folder.path() / "d.dxf", sheet(shown));
  put(folder.path() / "s.json", style(shown, lies));
  const auto run =
      run_binary("grade " + (folder / "s.json") + " --out " + (folder / "out") + " --sheets none");
  return {run.exit_code, run.output, contents(folder.path() / "out" / "pieces")};
}

}  // namespace

TEST_CASE("a sole drawn beside its insole is refused, and laid where it says it gives the same set",
          "[lies]") {
  const Ran in_place = graded({}, "");
  INFO(in_place.output);
  REQUIRE(in_place.exit_code <= 1);
  REQUIRE(in_place.pieces.size() == 24);
  for (const Elsewhere& shown :
       {elsewhere(0, {0, 110}, false), elsewhere(90, {500, -40}, false), elsewhere(-33, {-20, 300}, true)}) {
    const Ran beside = graded(shown, "");
    CHECK(beside.exit_code > 1);
    CHECK(says(beside.output, "outsole"));
    CHECK(says(beside.output, "lies off its forme"));
    CHECK(says(beside.output,
               R"({"corner":"sole heel","on":"sole heel"},{"corner":"sole toe","on":"sole toe"})"));
    const Ran laid = graded(
        shown,
        fmt::format(
            R"("lies": {{"meets": [{{"corner": "sole heel", "on": "sole heel"}}, {{"corner": "sole toe", "on": "sole toe"}}]{}}},)",
            shown.over ? R"(, "mirrored": true)" : ""));
    INFO(laid.output);
    CHECK(laid.exit_code == in_place.exit_code);
    REQUIRE(laid.pieces.size() == in_place.pieces.size());
    for (const auto& [name, bytes] : in_place.pieces) {
      INFO(name);
      REQUIRE(laid.pieces.count(name) == 1);
      if (name.ends_with(".dxf")) CHECK(farthest(laid.pieces.at(name), bytes) < 2e-6);
    }
  }
}

TEST_CASE("that a piece may lie either way is said where its places do not tell", "[lies]") {
  const std::string meets =
      R"("lies": {"meets": [{"corner": "sole heel", "on": "sole heel"}, {"corner": "sole toe", "on": "sole toe"}])";
  // The outsole is wider on one side, and its places lie on one line.
  const Ran over = graded(elsewhere(-33, {-20, 300}, true), meets + "},");
  INFO(over.output);
  CHECK(says(over.output, "its places meet equally well turned over"));
  const Ran stated = graded(elsewhere(-33, {-20, 300}, true), meets + R"(, "mirrored": true},)");
  CHECK_FALSE(says(stated.output, "its places meet as well"));
  CHECK_FALSE(says(graded({}, "").output, "its places meet as well"));
}
