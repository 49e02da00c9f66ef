#include "grading/style/style_json.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "grading/json/json_text.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;
using lastwright::testing::kSmallStyle;

namespace {

// The small style with one stretch of its text replaced.
StyleRead style_changed(const std::string& from, const std::string& to) {
  std::string text = kSmallStyle;
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  text.replace(at, from.size(), to);
  return read_style(text, "s.json");
}

}  // namespace

namespace {

// The order of keys means nothing.
Json keys_sorted(const Json& value) {
  Json all = value;
  if (value.is_array()) {
    for (Json& one : all) one = keys_sorted(one);
  } else if (value.is_object()) {
    std::set<std::string> keys;
    for (const auto& [key, one] : value.items()) keys.insert(key);
    all = Json::object();
    for (const std::string& key : keys) all[key] = keys_sorted(value.at(key));
  }
  return all;
}

}  // namespace

TEST_CASE("a style is read as it stands", "[style_json]") {
  const StyleRead read = read_style(kSmallStyle, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  const StyleSpec& style = *read.style;
  CHECK(style.run_by == Fraction(1, 2));
  CHECK(style.run_widths.size() == 5);
  REQUIRE(style.measures.size() == 3);
  CHECK(style.measures[0].from_scale);
  CHECK(style.measures[1].per_size.millimetres == Fraction(635, 100));
  CHECK(style.measures[1].per_width.millimetres == Fraction(635, 100));
  CHECK(style.measures[1].breaks[0].per_size->millimetres == Fraction(381, 80));
  CHECK(style.measures[1].size_steps_per_width == Fraction(1, 8));
  CHECK(style.measures[2].law == Law::kProportional);
  CHECK(style.drawings[0].chain_gap == Millimetres(0.05));
  CHECK(style.drawings[0].layers.at("OUT") == "boundary");
  const FormeSpec& forme = style.formes[0];
  CHECK(forme.points[1].name == "toe");  // the order of the file
  CHECK(forme.points[4].at == Vec2{150.25, 60.5});
  REQUIRE(forme.rules.size() == 6);
  CHECK(std::get<MeasureLine>(forme.rules[1]).carries[1].second == Fraction(-1, 2));
  CHECK(std::get<CheckLine>(forme.rules[2]).line.carries[0].second == Fraction(1, 4));
  CHECK(std::get<PointRule>(forme.rules[3]).per_width.y == Approx(25.4 / 32).epsilon(1e-15));
  CHECK(std::get<Straight>(forme.rules[5]).points.size() == 3);
  CHECK(style.girths[0].parts[0].times == Fraction(2));
  const PieceSpec& vamp = style.pieces[0];
  CHECK(std::get<std::string>(vamp.corners[0].at) == "toe");
  CHECK(vamp.edges[2].allowance == Millimetres(18.0));
  CHECK(vamp.edges[0].straight);
  CHECK(vamp.hand == Hand::kSymmetric);
  CHECK(style.pieces[1].hand == Hand::kHanded);
  CHECK(style.seams[0].ease == Millimetres(0.5));
  CHECK(style.seam_limit == Millimetres(0.2));
}

TEST_CASE("lengths that no short decimal holds read back to the bit", "[style_json]") {
  for (const char* length :
       {"1/36 in", "1/3 mm", "1/7 cm", "999999999 in", "1/999999999 in", "0.000000001 mm"}) {
    Json style = test::parsed_json(kSmallStyle);
    style["pieces"][0]["edges"][1]["allowance_from"] = {{"8", length}};
    style["seams"][0]["ease"] = length;
    style["formes"]["shell"]["rules"][3]["per_size"] = {length, length};
    const StyleRead first = read_style(style.dump(), "s.json");
    INFO(length);
    if (!first.ok()) FAIL(to_text(first.problems.front()));
    const StyleRead second = read_style(write_style(*first.style), "t.json");
    if (!second.ok()) FAIL(to_text(second.problems.front()));
    CHECK(second.style->seams[0].ease == first.style->seams[0].ease);
    CHECK(second.style->pieces[0].edges[1].allowance_from[0].allowance ==
          first.style->pieces[0].edges[1].allowance_from[0].allowance);
    const auto& rule = std::get<PointRule>(second.style->formes[0].rules[3]);
    CHECK(rule.per_size == std::get<PointRule>(first.style->formes[0].rules[3]).per_size);
  }
}

TEST_CASE("a whole number beyond 64 bits is refused as a length, not taken for another", "[style_json]") {
  Json style = test::parsed_json(kSmallStyle);
  style["seams"][0]["ease"] = std::uint64_t{18446744073709551615u};  // as a signed number it would be -1
  const StyleRead read = read_style(style.dump(), "s.json");
  REQUIRE(read.problems.size() == 1);
  CHECK(read.problems[0].place.pointer == "/seams/0/ease");
}

TEST_CASE("the foot that a piece is drawn for is read and written", "[style_json]") {
  for (const char* foot : {"left", "right", "both"}) {
    Json style = test::parsed_json(kSmallStyle);
    style["pieces"][0]["drawn_foot"] = foot;
    const StyleRead first = read_style(style.dump(), "s.json");
    REQUIRE(first.ok());
    CHECK(first.style->pieces[0].drawn_foot == foot);
    CHECK(first.style->drawn_foot.empty());
    const StyleRead second = read_style(write_style(*first.style), "t.json");
    REQUIRE(second.ok());
    CHECK(second.style->pieces[0].drawn_foot == foot);
  }
}

TEST_CASE("a style that is written reads back the same", "[style_json]") {
  const StyleRead first = read_style(kSmallStyle, "s.json");
  REQUIRE(first.ok());
  const std::string once = write_style(*first.style);
  const StyleRead second = read_style(once, "t.json");
  for (const Problem& problem : second.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(second.ok());
  CHECK(write_style(*second.style) == once);

  // Nothing is lost: but for defaults and the spelling of numbers it is the document it came from.
  Json before = test::parsed_json(kSmallStyle);
  const Json after = test::parsed_json(once);
  before["pieces"][0].erase("drawn");
  before["pieces"][0].erase("per_pair");
  before["pieces"][0]["edges"][2]["allowance"] = 18;
  before["measures"]["ball girth"]["per_width"] = "6.35";
  before["measures"]["tread"]["base"] = "90";
  before["formes"]["shell"]["rules"][2]["carries"]["ball girth"] = "1/4";
  before["formes"]["shell"]["rules"][3]["per_width"][1] = 25.4 / 32;
  for (const auto& [key, value] : before.items()) {
    if (key == "drawings") continue;  // layers come sorted
    INFO(key);
    CHECK(after.at(key) == value);
  }
  CHECK(keys_sorted(after.at("drawings")) == keys_sorted(before.at("drawings")));
}

TEST_CASE("names that do not exist are named, with the one that was meant", "[style_json]") {
  struct Case {
    const char* from;
    const char* to;
    const char* pointer;
    const char* says;
  };
  const Case cases[] = {
      {R"("fixed": "heel")", R"("fixed": "heal")", "/formes/shell/fixed", "did you mean \"heel\"?"},
      {R"(["heel", "toe"])", R"(["heel", "tow"])", "/formes/shell/base_line/1", "did you mean \"toe\"?"},
      {R"("length_line": "stick")", R"("length_line": "throat line")", "/formes/shell/length_line",
       "no measure line"},
      {R"("girth_line": "ball line")", R"("girth_line": "stick")", "/formes/shell/girth_line",
       "the same line"},
      {R"({"stick length": 1})", R"({"stik length": 1})", "/formes/shell/rules/0/carries/stik length",
       "\"stick length\""},
      {R"("to": "throat", "carries")", R"("to": "throut", "carries")", "/formes/shell/rules/2/to",
       "\"throat\""},
      {R"("check_line": "throat line")", R"("check_line": "stick")", "/formes/shell/rules/2/check_line",
       "two lines"},
      {R"("hold": ["ball top", "throat"])", R"("hold": ["ball top", "throt"])",
       "/formes/shell/rules/4/hold/1", "\"throat\""},
      {R"("line": "ball line")", R"("line": "ball lime")", "/girths/ball girth/0/line", "\"ball line\""},
      {R"("block": "VAMP")", R"("block": "VAMP", "drawing2": "x")", "/pieces/0/outline/drawing2",
       "not known here"},
      {R"("outline": {"drawing": "shell"})", R"("outline": {"drawing": "shel"})", "/pieces/1/outline/drawing",
       "\"shell\""},
      {R"("front": "toe")", R"("front": "teo")", "/pieces/0/corners/front", "\"toe\""},
      {R"("from": "throat", "to": "wing")", R"("from": "throat", "to": "wimg")", "/pieces/0/edges/1/to",
       "\"wing\""},
      {R"("name": "quarter")", R"("name": "vamp")", "/pieces/1/name", "is taken"},
      {R"("fold": "fold")", R"("fold": "flod")", "/pieces/0/fold", "\"fold\""},
      {R"("edge": "wing")", R"("edge": "wings")", "/seams/0/one/edge", "\"wing\""},
      {R"("piece": "quarter")", R"("piece": "qaurter")", "/seams/0/other/piece", "\"quarter\""},
  };
  for (const Case& one : cases) {
    INFO(one.from << " -> " << one.to);
    const StyleRead read = style_changed(one.from, one.to);
    REQUIRE_FALSE(read.ok());
    REQUIRE_FALSE(read.problems.empty());
    CHECK(read.problems[0].place.pointer == one.pointer);
    CHECK(read.problems[0].place.line > 1);
    CHECK_THAT(read.problems[0].message, Catch::Contains(one.says));
  }
}

TEST_CASE("edges go round the piece", "[style_json]") {
  const StyleRead gap =
      style_changed(R"("from": "wing", "to": "front")", R"("from": "wing", "to": "throat")");
  REQUIRE(gap.problems.size() == 1);
  CHECK(gap.problems[0].place.pointer == "/pieces/0/edges/2/to");
  const StyleRead unused =
      style_changed(R"("corners": {"a": [0, 0]})", R"("corners": {"a": [0, 0], "b": [1, 1]})");
  REQUIRE(unused.problems.size() == 1);
  CHECK(unused.problems[0].place.pointer == "/pieces/1/corners/b");
  const StyleRead folded =
      style_changed(R"("treatment": "fold", "straight": true)", R"("treatment": "fold", "allowance": 2)");
  REQUIRE(folded.problems.size() == 1);
  CHECK(folded.problems[0].place.pointer == "/pieces/0/edges/0/allowance");
}

TEST_CASE("numbers that are not numbers are refused where they stand", "[style_json]") {
  CHECK(style_changed(R"("1/4 in")", R"("1/4 inch")").problems.at(0).place.pointer ==
        "/measures/ball girth/per_size");
  CHECK(style_changed(R"("-1/2")", R"("-0,5")").problems.at(0).place.pointer ==
        "/formes/shell/rules/1/carries/tread");
  CHECK(style_changed(R"("by": "1/2")", R"("by": "1/0")").problems.at(0).place.pointer == "/run/by");
  CHECK(style_changed(R"("by": "1/2")", R"("by": 0)").problems.at(0).place.pointer == "/run/by");
  CHECK(style_changed(R"("by": "1/2")", R"("by": 1e-20)").problems.at(0).place.pointer == "/run/by");
  CHECK(style_changed("[290, 0]", "[290, 1e300]").problems.at(0).place.pointer ==
        "/formes/shell/points/toe/1");
}

TEST_CASE("names that would steer a terminal are refused", "[style_json]") {
  CHECK(style_changed(R"("name": "vamp")", R"("name": "vamp\u001b[2J")").problems.at(0).place.pointer ==
        "/pieces/0/name");
  CHECK(style_changed(R"("throat": [150.25, 60.5]},)", R"("throat": [150.25, 60.5], "a\u0000": [0, 0]},)")
            .problems.size() == 1);
}

TEST_CASE("the demo styles are sound", "[style_json]") {
  std::size_t read_files = 0;
  for (const auto& entry :
       std::filesystem::recursive_directory_iterator(test::project_dir() + "/demo-patterns")) {
    if (entry.path().filename() != "style.json") continue;
    std::ifstream file(entry.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    const StyleRead read = read_style(text, entry.path().filename().string());
    for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
    REQUIRE(read.ok());
    const StyleRead again = read_style(write_style(*read.style), "again");
    REQUIRE(again.ok());
    CHECK(write_style(*again.style) == write_style(*read.style));
    ++read_files;
  }
  CHECK(read_files > 0);
}

TEST_CASE("the limit of what rules move away from them is read, written again and not below 0",
          "[style_json]") {
  const StyleRead read =
      style_changed(R"("limits": {"seam": 0.2})", R"("limits": {"seam": 0.2, "rule_away": "1/16 in"})");
  REQUIRE(read.ok());
  CHECK(read.style->rule_away_limit->value() == Approx(1.5875));
  const StyleRead again = read_style(write_style(*read.style), "again");
  REQUIRE(again.ok());
  CHECK(again.style->rule_away_limit->value() == Approx(1.5875));
  const StyleRead below = style_changed(R"("limits": {"seam": 0.2})", R"("limits": {"rule_away": -1})");
  REQUIRE(!below.ok());
  CHECK_THAT(to_text(below.problems.front()),
             Catch::Contains("/limits/rule_away") && Catch::Contains("must be 0 or more, not -1 mm"));
}
