// What a style states and nothing uses is named with its place.
#include "grading/style/style_unused.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "grading/measures/reference_tables.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_run.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;
using lastwright::testing::kSmallStyle;

namespace {

std::vector<std::string> unused(std::vector<std::pair<std::string, std::string>> changes = {}) {
  std::string text = kSmallStyle;
  const std::string step = R"("tread": {"base": 90, "per_size": "1/12 in")";  // beside a law that uses none
  text.replace(text.find(step), step.size(), R"("tread": {"base": 90, "per_size": 0)");
  for (const auto& [from, to] : changes) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
  }
  const StyleRead read = read_style(text, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  const Scale scale = *ReferenceTables().find_scale(read.style->scale);
  const Ladder ladder = *ReferenceTables().find_ladder(read.style->ladder);
  const Result<SizeRun> run = size_run(*read.style, scale, ladder);
  REQUIRE(run.ok());
  return unused_statements(*read.style, *run, scale);
}

bool told_unused(const std::vector<std::string>& notes, const std::string& pointer) {
  return std::any_of(notes.begin(), notes.end(),
                     [&](const std::string& note) { return note.rfind(pointer + ": ", 0) == 0; });
}

}  // namespace

TEST_CASE("a style that uses all it states has nothing to tell", "[unused]") {
  CHECK(unused().empty());
}

TEST_CASE("keys of features that others leave without effect are told, and widths out of order", "[unused]") {
  const auto feature = [](const std::string& json) {
    return unused({{R"("hand": "symmetric",)", R"("hand": "symmetric", "features": [)" + json + "],"}});
  };
  CHECK(told_unused(feature(R"({"stitch_line": "l", "edges": ["wing"], "inset": 2, "row_gap": 3})"),
                    "/pieces/0/features/0/row_gap"));
  CHECK(feature(R"({"stitch_line": "l", "edges": ["wing"], "inset": 2, "rows": 2, "row_gap": 3})").empty());
  CHECK(told_unused(feature(R"({"nick": "n", "edge": "wing", "share": "1/2", "width": 9})"),
                    "/pieces/0/features/0/width"));
  CHECK(feature(R"({"nick": "n", "edge": "wing", "share": "1/2", "form": "vee", "width": 9})").empty());
  const std::vector<std::string> turned =
      unused({{R"("widths": ["D", "E", "F", "G", "H"])", R"("widths": ["H", "G", "F", "E", "D"])"}});
  CHECK(turned.size() == 1);
  CHECK(told_unused(turned, "/run/widths"));
}

TEST_CASE("a step beside a law that uses none is told, and a sample that the run does not hold", "[unused]") {
  const std::vector<std::string> step =
      unused({{R"("tread": {"base": 90, "per_size": 0)", R"("tread": {"base": 90, "per_size": 2)"}});
  CHECK(step.size() == 1);
  CHECK(told_unused(step, "/measures/tread/per_size"));
  for (const auto& [from, to] :
       {std::pair{R"("base": {"size": "8", "width": "F"})", R"("base": {"size": "4", "width": "F"})"},
        {R"("widths": ["D", "E", "F", "G", "H"])", R"("widths": ["D", "E"])"}}) {
    const std::vector<std::string> base = unused({{from, to}});
    CHECK(base.size() == 1);
    CHECK(told_unused(base, "/base"));
  }
}

TEST_CASE("each statement that nothing uses is told, and nothing else", "[unused]") {
  const auto one = [](const std::string& from, const std::string& to, const std::string& pointer) {
    INFO(pointer);
    const std::vector<std::string> notes = unused({{from, to}});
    CHECK(notes.size() == 1);
    CHECK(told_unused(notes, pointer));
  };
  one(R"("tread": {)", R"("seat": {"base": 60, "per_size": 1, "per_width": 1}, "tread": {)",
      "/measures/seat");
  one(R"("heel": [0, 0],)", R"("heel": [0, 0], "spare": [9, 9],)", "/formes/shell/points/spare");
  one(R"("drawings": {)", R"("drawings": {"old": {"file": "old.dxf"}, )", "/drawings/old");
  one(R"({"from": "5", "to": "7", "per_size": "3/16 in"})",
      R"({"from": "2", "to": "4", "per_size": "3/16 in"})", "/measures/ball girth/breaks/0");
  one(R"("hand": "symmetric",)",
      R"("hand": "symmetric", "sizes_tied": [{"from": "4", "to": "6", "as": "5"}],)",
      "/pieces/0/sizes_tied/0/from");
  one(R"("allowance": "18 mm"})", R"("allowance": "18 mm", "allowance_from": {"10": 19, "14": 20}})",
      "/pieces/0/edges/2/allowance_from/14");
  one(R"("limits": {)", R"("codes": {"sizes": {"of": "size", "marks": {"8": [1]}}}, "limits": {)",
      "/codes/sizes");
  one(R"("formes": {)",
      R"("formes": {"bare": {"points": {"a": [0, 0], "b": [9, 0], "c": [9, 9]}, "base_line": ["a", "b"], "fixed": "a",
       "length_line": "l", "girth_line": "g", "rules": [
         {"measure_line": "l", "from": "a", "to": "b", "carries": {"tread": "1/10"}},
         {"measure_line": "g", "from": "b", "to": "c", "carries": {"tread": "1/10"}}]}, )",
      "/formes/bare");
  const std::vector<std::string> notes = unused({{R"("girths": {
    "ball girth": [{"forme": "shell", "line": "ball line", "times": 2}]
  },)",
                                                  ""},
                                                 {R"("seam": 0.2)", R"("seam": 0.2, "open_girth": 3)"}});
  CHECK(notes.size() == 1);
  CHECK(told_unused(notes, "/limits/open_girth"));
}

TEST_CASE("a group that is made as none of its own sizes is named with its piece", "[style][unused]") {
  std::string text = kSmallStyle;
  const std::string hand = R"("hand": "symmetric",)";
  text.replace(text.find(hand), hand.size(),
               hand + R"("sizes_tied": [{"from": "6", "to": "7", "as": "8"}],)");
  const StyleRead read = read_style(text, "s.json");
  REQUIRE(read.ok());
  const Result<SizeRun> run = size_run(*read.style, *ReferenceTables().find_scale(read.style->scale),
                                       *ReferenceTables().find_ladder(read.style->ladder));
  REQUIRE(!run.ok());
  CHECK(run.problem().place.pointer == "/pieces/0/sizes_tied/0/as");
  CHECK(run.problem().message.starts_with(read.style->pieces[0].name +
                                          ": the sizes 6 to 7 would be made as 8, which is none of them"));
}

TEST_CASE("limits of treatments that no edge has are told", "[unused]") {
  const auto limited = [](const std::string& json, const std::string& feather = "18 mm") {
    return unused({{R"("limits": {"seam": 0.2})", R"("limits": {"seam": 0.2, )" + json + "}"},
                   {R"("allowance": "18 mm")", R"("allowance": ")" + feather + "\""}});
  };
  CHECK(limited(R"("cut_line_reach": {"lasting": 3.5})").empty());
  const std::vector<std::string> reach = limited(R"("cut_line_reach": {"lasting": 3.5, "lap": 2})");
  CHECK(reach.size() == 1);
  CHECK(told_unused(reach, "/limits/cut_line_reach/lap"));
  // Where the cut line is the net line it reaches nowhere.
  CHECK(told_unused(limited(R"("cut_line_reach": {"lasting": 3.5})", "0 mm"),
                    "/limits/cut_line_reach/lasting"));
  CHECK(limited(R"("missing_allowance": {"lasting": 3})").empty());
  CHECK(told_unused(limited(R"("missing_allowance": {"lap": 3})"), "/limits/missing_allowance/lap"));
}
