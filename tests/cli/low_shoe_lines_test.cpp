// A low shoe with a line in two parts, an inner part that ends at the feather, a grain line drawn the wrong
// way and a corner near its limit: each is told with both, and the sound shoe is not accused.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

namespace {

std::string line_drawn(Vec2 a, Vec2 b, const char* layer) {
  return test::tags(fmt::format("0 LINE|8 {}|10 {}|20 {}|11 {}|21 {}", layer, a.x, a.y, b.x, b.y));
}

}  // namespace

TEST_CASE("a line that carries straight on after a small gap is asked about", "[silence][low]") {
  const auto told = [](Vec2 again, Vec2 end) {
    return told_of("line parted", {}, line_drawn({160, 8}, {180, 8}, "8") + line_drawn(again, end, "8"));
  };
  CHECK(told({180.1, 8}, {200, 8}) == 1);
  CHECK(told({180.05, 8.06}, {200, 9}) == 1);    // so near that the gap has no direction
  CHECK(told({180.8, 8.2}, {200, 11}) == 1);     // almost in line
  CHECK(told({200, 9.5}, {180.3, 8.1}) == 1);    // whichever way it is drawn
  CHECK(told({180.1, 8}, {184, 20}) == 0);       // a corner
  CHECK(told({180.2, 8.9}, {200, 8.9}) == 0);    // beside it
  CHECK(told({182, 8}, {200, 8}) == 0);          // a dash
  CHECK(told({180.01, 8}, {200, 8}) == 0);       // joined: one line
  CHECK(told({160.4, 8.9}, {180.4, 8.9}) == 0);  // a second row
  CHECK(told_of("line parted", {},
                line_drawn({160, 8}, {180, 8}, "8") + line_drawn({180.1, 8}, {200, 8}, "14")) == 0);
}

TEST_CASE("an inner part that ends at the feather beside one that is lasted is told", "[silence][low]") {
  const auto shoe = [](const std::string& puff_feather, const std::string& stiffener_feather) {
    const auto piece = [](const char* name, const char* layer, const char* corners,
                          const std::string& edges) {
      return fmt::format(R"({{"name": "{}", "forme": "shell", "outline": {{"drawing": "d", "layer": "{}"}},
          "lies": "as drawn", "corners": {}, "edges": {}}}, )",
                         name, layer, corners, edges);
    };
    return TextChanges{
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "PUFF": "boundary", "STIFF": "boundary")"},
        {R"("from": "heel", "to": "side foot"})",
         R"("from": "heel", "to": "side foot", "treatment": "lasting", "allowance": 16})"},
        {R"("from": "side foot", "to": "toe"})",
         R"("from": "side foot", "to": "toe", "treatment": "lasting", "allowance": 16})"},
        {R"("pieces": [)",
         R"("pieces": [)" +
             piece(
                 "toe puff", "PUFF", R"({"front": [279.4, 0], "top": [240, 19.8], "rear": [230, 0]})",
                 R"([{"name": "centre", "from": "front", "to": "top"}, {"name": "edge", "from": "top", "to": "rear"},
                   {"name": "feather", "from": "rear", "to": "front")" +
                     puff_feather + "}]") +
             piece(
                 "stiffener", "STIFF", R"({"back": [0, 0], "front": [60, 0], "top": [0, 40]})",
                 R"([{"name": "feather", "from": "back", "to": "front")" + stiffener_feather +
                     R"(}, {"name": "edge", "from": "front", "to": "top"}, {"name": "rear", "from": "top", "to": "back"}])")}};
  };
  const std::string drawn = test::polyline({{279.4, 0}, {240, 19.8}, {230, 0}}, "PUFF") +
                            test::polyline({{0, 0}, {60, 0}, {0, 40}}, "STIFF");
  const std::string lasted = R"(, "treatment": "lasting", "allowance": 12)";
  CHECK(told_of("inner margin", shoe(lasted, lasted), drawn) == 0);
  CHECK(told_of("inner margin", shoe("", ""), drawn) == 0);  // a habit of the house
  CHECK(told_of("inner margin", shoe(lasted, R"(, "treatment": "trim")"), drawn) == 0);
  CHECK(told_of("inner margin", shoe("", lasted), drawn) == 1);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(shoe(lasted, ""), drawn), "inner margin");
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "stiffener: feather");
  CHECK(told[0].note.find("feather of toe puff") != std::string::npos);
  CHECK(told[0].note.find("feather of quarter") != std::string::npos);
}

TEST_CASE("a grain line square to those of all its mates is told with one of them", "[silence][low]") {
  const auto piece = [](const char* name) {
    return fmt::format(R"({{"name": "{0}", "forme": "shell", "layer": "uppers", "lies": "as drawn",
        "outline": {{"drawing": "d", "layer": "{0}"}}, "corners": {{"a": [{1}, 10], "b": [{2}, 10]}},
        "edges": [{{"name": "one", "from": "a", "to": "b"}}, {{"name": "two", "from": "b", "to": "a"}}]}}, )",
                       name, name[0] == 'T' ? 20 : 60, name[0] == 'T' ? 50 : 90);
  };
  const TextChanges two{
      {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "TAB": "boundary", "CAP": "boundary")"},
      {R"("pieces": [)", R"("pieces": [)" + piece("TAB") + piece("CAP")}};
  const auto drawn = [](double degrees, double cap = 4.0) {
    const auto grain = [](Vec2 middle, double way) {
      const Vec2 half = 6.0 * Vec2{std::cos(way / 57.29578), std::sin(way / 57.29578)};
      return line_drawn(middle - half, middle + half, "7");
    };
    const auto square = [](double x, const char* layer) {
      return test::polyline({{x, 10}, {x + 30, 10}, {x + 30, 30}, {x, 30}}, layer);
    };
    return square(20, "TAB") + square(60, "CAP") + grain({35, 20}, degrees) + grain({75, 20}, cap) +
           grain({110, 18}, 0.0) + grain({190, 18}, -5.0);
  };
  CHECK(told_of("grain turned", two, drawn(3.0)) == 0);
  CHECK(told_of("grain turned", two, drawn(45.0)) == 0);        // laid on the bias
  CHECK(told_of("grain turned", two, drawn(90.0, 40.0)) == 0);  // the others lie in no one way
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(two, drawn(92.0)), "grain turned");
  REQUIRE(told.size() == 1);
  CHECK(told[0].subject == "TAB");
  CHECK(told[0].note.find("the layer uppers") != std::string::npos);
}

TEST_CASE("a corner that is too far out in some sizes only says what it is in the others", "[silence][low]") {
  const auto reach = [](double limit) {
    const TextChanges sharp{
        {R"("side foot": "side foot", "side top": "side top", "back top")",
         R"("side foot": {"at": "side foot", "form": "mitre"}, "side top": "side top", "back top")"},
        {R"("from": "heel", "to": "side foot"})",
         R"("from": "heel", "to": "side foot", "treatment": "lasting", "allowance": 14})"},
        {R"("from": "side foot", "to": "side top"})",
         R"("from": "side foot", "to": "side top", "treatment": "lap", "allowance": 14})"},
        {R"("limits": {)",
         fmt::format(R"("limits": {{"cut_line_reach": {{"lasting": {0}, "lap": {0}}}, )", limit)}};
    std::vector<StyleFinding> all = findings_named(low_shoe_findings(sharp), "cut line reach");
    REQUIRE_FALSE(all.empty());
    return all.front();
  };
  const StyleFinding all = reach(1.0);
  CHECK_FALSE(all.passed);
  CHECK(all.note.find("sizes and widths") == std::string::npos);
  const StyleFinding some = reach(all.worst - 1e-4);
  CHECK_FALSE(some.passed);
  INFO(some.note);
  CHECK(some.note.find("sizes and widths, and in the others") != std::string::npos);
}

TEST_CASE("a lap that a mitre takes nearly all of over a stretch is told", "[silence][low]") {
  // The lap turns by 62 degrees from the top line: beside one without an allowance it lacks all of its 8 mm
  // over some 4 mm.
  const auto lap = [](const std::string& top, const char* form) {
    const TextChanges changes{
        {R"("side top": "side top", "side foot": "side foot"})",
         fmt::format(R"("side top": {{"at": "side top", "form": "{}"}}, "side foot": "side foot"}})", form)},
        {R"("from": "vamp point", "to": "side top")", R"("from": "vamp point", "to": "side top")" + top},
        {R"({"name": "side", "from": "side top")",
         R"({"name": "side", "treatment": "lap", "allowance": 8, "from": "side top")"}};
    for (const StyleFinding& one : findings_named(low_shoe_findings(changes), "allowance")) {
      if (one.subject == "vamp: side") return one;
    }
    FAIL("nothing is said of the lap");
    return StyleFinding{};
  };
  const StyleFinding bare = lap("", "mitre");
  CHECK(bare.passed);
  CHECK(bare.doubtful);
  CHECK(bare.worst > 7.2);
  CHECK(bare.note.find("nearly all of it is gone") != std::string::npos);
  CHECK_FALSE(lap(R"(, "treatment": "fold", "allowance": 4)", "mitre").doubtful);
  CHECK_FALSE(lap("", "full").doubtful);
}
