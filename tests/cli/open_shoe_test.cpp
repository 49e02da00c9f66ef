// A low shoe with a throat, and the figures of its style against its drawings, as check tells them.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "geometry/vec2.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/low_shoe.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using lastwright::test::BinaryRun;
using lastwright::test::polyline;
using lastwright::test::run_binary;
using lastwright::test::says;

namespace {

BinaryRun checked(const test::TextChanges& changes = {}, const std::string& drawn_too = {}) {
  const ScratchFolder folder;
  return run_binary("check " + test::put_low_shoe(folder, changes, drawn_too));
}

}  // namespace

TEST_CASE("a girth that a throat leaves open is told, and judged by what changes", "[girth][open]") {
  const BinaryRun run = checked();
  INFO(run.output);
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "LOOK open girth"));
  CHECK(says(run.output, "shell: ball line open from 0.0 to 6.7 of 45.0 mm"));
  CHECK(says(run.output, "in the base size to 166.667 of 180.076 mm"));
  // A top line that rises by itself closes the throat, size by size; it has a limit of its own.
  const std::string straight = R"({"straight": ["stick end", "vamp point", "ball top"]})";
  const std::string rises = R"({"point": "side top", "per_size": [0, 2], "per_width": [0, 0]}, )" + straight;
  const BinaryRun risen = checked({{straight, rises}});
  INFO(risen.output);
  CHECK(says(risen.output, "LOOK open girth"));
  const BinaryRun sharp = checked({{straight, rises}, {R"("seam": 0.1)", R"("open_girth": 0.1)"}});
  CHECK(sharp.exit_code == 1);
  CHECK(says(sharp.output, "FAIL open girth"));
}

TEST_CASE("a throat opens as its line grows, whatever the base of the girth is", "[girth][open]") {
  // Two measures and nothing else grade the shell: it grows in proportion, the throat as the line. The base
  // does not change what the lines grow by, and so no piece.
  const auto figure = [](const BinaryRun& run) {
    const auto at = run.output.find("open girth");
    REQUIRE(at != std::string::npos);
    return std::stod(run.output.substr(run.output.find_first_of("0123456789", at)));
  };
  const double as_drawn = figure(checked());
  CHECK(as_drawn < 0.01);
  for (const char* base : {"160 mm", "170 mm", "200 mm", "215 mm"}) {
    const BinaryRun run = checked({{R"("base": "180.08 mm")", fmt::format(R"("base": "{}")", base)}});
    INFO(run.output);
    CHECK(std::abs(figure(run) - as_drawn) < 1e-5);
    CHECK(says(run.output, "in the base size to 166.667 of 180.076 mm"));
  }
}

TEST_CASE("a hole where a piece is sewn on is no opening", "[girth][open]") {
  // Something is sewn to the vamp's top line: it is not the end of the shoe.
  const BinaryRun run =
      checked({{R"("seams": [)", R"("seams": [{"name": "tongue", "one": {"piece": "vamp", "edge": "top line"},
     "other": {"piece": "quarter", "edge": "back"}, "ease": "-0.83 mm"}, )"}});
  INFO(run.output);
  CHECK(says(run.output, "FAIL girth in pieces"));
  CHECK(says(run.output, "shell: ball line open from 0.0 to 6.7 of 45.0 mm"));
}

TEST_CASE("check names a base that is not what is drawn, and fails", "[base]") {
  const BinaryRun tread = checked({{R"("base": "90 mm")", R"("base": "9 mm")"}});
  CHECK(tread.exit_code == 1);
  CHECK(says(tread.output, "FAIL base and drawing"));
  CHECK(says(tread.output, "drawn 90.00 mm long, and the base of tread is 9.00 mm"));
  const BinaryRun size = checked({{R"("size": "8")", R"("size": "13")"}, {R"("to": "10")", R"("to": "13")"}});
  CHECK(size.exit_code == 1);
  CHECK(says(size.output, "drawn 279.40 mm long, and size 13 of the scale is 321.73 mm"));
  const BinaryRun girth = checked({{R"("base": "180.08 mm")", R"("base": "180.08 in")"}});
  CHECK(girth.exit_code == 1);
  CHECK(says(girth.output, "its lines are drawn 180.08 mm long together, and its base is 4574.03 mm"));
}

TEST_CASE("check tells what the style states and nothing uses", "[unused]") {
  const BinaryRun run = checked({{R"("back top": [0, 60]})", R"("back top": [0, 60], "spare": [9, 9]})"}});
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "warning: not used: /formes/shell/points/spare: nothing names this point"));
}

TEST_CASE("what a girth's line is drawn longer by is taken off the girth in pieces", "[girth]") {
  // The tread is drawn 2 mm wider than what it carries, and so is the insole.
  const std::vector<std::pair<std::string, std::string>> drawn = {
      {R"("base": "90 mm", "per_size": "1/12 in")", R"("base": "88 mm", "per_size": "1/12 in")"},
      {R"("carries": {"tread": 1}})", R"("carries": {"tread": 1}, "extra": "2 mm"})"},
      {R"("base": "180.08 mm")", R"("base": "178.08 mm")"}};
  const BinaryRun run = checked(drawn);
  INFO(run.output);
  CHECK(says(run.output, "in the base size to 166.667 of 180.076 mm"));
  CHECK(says(run.output, "2.000 mm extra with it"));
}

TEST_CASE("a girth that the pieces close has a limit of its own", "[girth]") {
  const std::vector<std::pair<std::string, std::string>> sewn = {
      {R"("seams": [)", R"("seams": [{"name": "tongue", "one": {"piece": "vamp", "edge": "top line"},
     "other": {"piece": "quarter", "edge": "back"}, "ease": "-0.83 mm"}, )"}};
  CHECK(says(checked(sewn).output, "FAIL girth in pieces"));
  auto eased = sewn;
  eased.emplace_back(R"("seam": 0.1)", R"("seam": 0.1, "girth_in_pieces": 20)");
  const BinaryRun run = checked(eased);
  INFO(run.output);
  CHECK(says(run.output, "ok   girth in pieces"));
}

TEST_CASE("a girth whose lines are not as long as its base is told so, and not laid to the pieces",
          "[girth]") {
  // The line ends at the vamp's edge, so nothing is open: 2 x 38.33 and 90 mm, and the base says 180.08 mm.
  std::vector<std::pair<std::string, std::string>> low = {
      {R"("ball top": [190, 45.038])", R"("ball top": [190, 38.33333])"},
      {R"(}},
        {"straight": ["stick end", "vamp point", "ball top"]}])",
       "}}]"}};
  const BinaryRun run = checked(low);
  INFO(run.output);
  CHECK(says(run.output, "FAIL girth in pieces"));
  CHECK(says(run.output,
             "its lines themselves come to 166.667 mm in the base size, 13.413 mm less than the base"));
  // Each remedy that is named is one.
  auto right_base = low;
  right_base.emplace_back("180.08 mm", "166.6667 mm");
  CHECK(says(checked(right_base).output, "ok   girth in pieces"));
  auto stated = low;
  stated.emplace_back(R"("tread": "-1/2"}})", R"("tread": "-1/2"}, "extra": "-6.70667 mm"})");
  CHECK(says(checked(stated).output, "ok   girth in pieces"));
}

TEST_CASE("that no girths add up what lines carry parts of is said", "[girth]") {
  const BinaryRun run = checked(
      {{R"("girths": {"ball girth": [{"forme": "shell", "line": "ball line", "times": 2}, {"forme": "bottom", "line": "tread"}]},)",
        ""}});
  INFO(run.output);
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "not proved: shell: ball line carries a part of it"));
  CHECK_FALSE(says(checked().output, "not proved: shell"));
}

TEST_CASE("soles alone make up no girth, which is said and fails nothing", "[girth]") {
  // Vamp and quarter off their forme, or off the style.
  const std::string style = test::kLowShoe;
  const auto from = style.find(R"({"name": "vamp")");
  const auto to = style.find(R"({"name": "insole")");
  const auto seams = style.find("\"seams\"");
  const BinaryRun run = checked({{style.substr(from, to - from), ""},
                                 {style.substr(seams, style.find("\"limits\"") - seams), ""},
                                 {R"("VAMP": "boundary", "QUARTER": "boundary", )", ""}});
  INFO(run.output);
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "not proved: no piece lies on the forme of shell: ball line"));
  CHECK_FALSE(says(run.output, "FAIL"));
}

TEST_CASE("pieces that go on over the end of a girth's line are named", "[girth]") {
  CHECK_FALSE(says(checked().output, "beyond girth line"));
  // The insole is 4 mm wider than the line on each side.
  const BinaryRun run =
      checked({{R"("inside": [190, 155], "outside": [190, 245]})",
                R"("inside": [190, 159], "outside": [190, 241], "in": [190, 155], "out": [190, 245]})"},
               {R"("inside": "inside", "toe": "toe", "outside": "outside"})",
                R"("inside": "in", "toe": "toe", "outside": "out"})"},
               {R"("base": "90 mm")", R"("base": "82 mm")"},
               {R"("base": "180.08 mm")", R"("base": "172.08 mm")"}});
  INFO(run.output);
  CHECK(says(run.output, "LOOK beyond girth line"));
  CHECK(says(run.output, "every piece runs on past the start of the line, insole the least"));
  CHECK(says(run.output, "4.000 mm"));
}

TEST_CASE("a corner that is taken for one farther off than is read is told", "[place]") {
  const BinaryRun run = checked({{R"("side top": [140, 30])", R"("side top": [140.6, 30])"}});
  INFO(run.output);
  CHECK(
      says(run.output,
           "the corner side top is stated at (140.600, 30.000), the point side top of the forme, 0.600 mm"));
  CHECK(says(run.output, "(140.000, 30.000)"));
  const BinaryRun near = checked({{R"("side top": [140, 30])", R"("side top": [140.05, 30])"}});
  CHECK_FALSE(says(near.output, "the corner side top"));
}

TEST_CASE("an odd number of left and right pieces is told", "[hands]") {
  const BinaryRun run = checked({{R"({"name": "quarter", )", R"({"name": "quarter", "per_pair": 3, )"}});
  INFO(run.output);
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "LOOK hand"));
  CHECK(says(run.output, "\"per_pair\" 3 of a piece with a left and a right"));
}

TEST_CASE("one piece that runs on past the end of a girth's line, beside others that end there, is named",
          "[girth]") {
  // An insole beside it is 4 mm wider on each side; one that is trimmed later is so by intent.
  const auto wide = [](const std::string& treatment, const std::string& name = "insole") {
    return checked(
        {{R"("name": "insole")", R"("name": ")" + name + "\""},
         {R"("inside": [190, 155], "outside": [190, 245]})",
          R"("inside": [190, 159], "outside": [190, 241], "in": [190, 155], "out": [190, 245]})"},
         {R"("inside": "inside", "toe": "toe", "outside": "outside"})",
          R"("inside": "in", "toe": "toe", "outside": "out"})"},
         {R"({"name": "a", "from": "heel", "to": "inside"}, {"name": "b", "from": "inside", "to": "toe"},
               {"name": "c", "from": "toe", "to": "outside"}, {"name": "d", "from": "outside", "to": "heel"}]}])",
          R"({"name": "a", "from": "heel", "to": "inside", "treatment": ")" + treatment +
              R"("}, {"name": "b", "from": "inside", "to": "toe", "treatment": ")" + treatment +
              R"("}, {"name": "c", "from": "toe", "to": "outside", "treatment": ")" + treatment +
              R"("}, {"name": "d", "from": "outside", "to": "heel", "treatment": ")" + treatment +
              R"("}]}, {"name": "sock", "forme": "bottom", "outline": {"drawing": "d", "layer": "SOCK"},
     "corners": {"heel": "heel", "inside": "inside", "toe": "toe", "outside": "outside"},
     "edges": [{"name": "a", "from": "heel", "to": "inside"}, {"name": "b", "from": "inside", "to": "toe"},
               {"name": "c", "from": "toe", "to": "outside"}, {"name": "d", "from": "outside", "to": "heel"}]}])"},
         {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "SOCK": "boundary")"},
         {R"("base": "90 mm")", R"("base": "82 mm")"},
         {R"("base": "180.08 mm")", R"("base": "172.08 mm")"}},
        polyline({{0, 200}, {190, 159}, {279.4, 200}, {190, 241}}, "SOCK"));
  };
  const BinaryRun raw = wide("raw");
  INFO(raw.output);
  CHECK(says(raw.output, "LOOK beyond girth line"));
  CHECK(says(raw.output, "insole runs on past the start of the line, and sock ends there"));
  CHECK(says(raw.output, "insole runs on past the end of the line, and sock ends there"));
  CHECK_FALSE(says(raw.output, "every piece runs on"));
  CHECK_FALSE(says(wide("trim").output, "runs on past the"));
  // An outsole goes round the insole.
  CHECK_FALSE(says(wide("raw", "outsole").output, "runs on past the"));
}

TEST_CASE("a hole that no punch makes is told", "[hole]") {
  const auto hole = [](const std::string& diameter) {
    return checked(
        {{R"({"name": "quarter", )", R"({"name": "quarter", "features": [{"hole": "vent", "at": [60, 20],
      "diameter": )" + diameter + "}], "}});
  };
  const BinaryRun small = hole("0.3");
  INFO(small.output);
  CHECK(small.exit_code == 0);
  CHECK(says(small.output, "LOOK hole size"));
  CHECK(says(small.output, "quarter: vent"));
  CHECK_FALSE(says(hole("0.6").output, "hole size"));
}

TEST_CASE("an odd number of pieces that both shoes need alike is told", "[hands]") {
  const auto of = [](const std::string& count) {
    return checked({{R"({"name": "insole", )", R"({"name": "insole", "per_pair": )" + count + ", "}}).output;
  };
  CHECK(says(of("3"), "\"per_pair\" 3 of a piece that both shoes need alike"));
  CHECK_FALSE(says(of("4"), "both shoes need alike"));
}

TEST_CASE("shares that do not add up are told with what they must come to", "[girth]") {
  const BinaryRun run = checked({{R"("times": 2)", R"("times": 1)"}});
  CHECK(run.exit_code == 1);
  INFO(run.output);
  CHECK(says(run.output, "add up to"));
  CHECK(says(run.output, "they must come to"));
}
