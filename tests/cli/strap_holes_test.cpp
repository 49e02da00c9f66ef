// Holes that are drawn in a strap move as it grows: told with their pitch and with the row that keeps it.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::findings_named;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;

namespace {

// A strap of 120 x 16 mm on a forme of its own that grows along `start` to `end`, or not at all.
TextChanges strap(const char* carries, const std::string& features = {}) {
  return {
      {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "STRAP": "boundary")"},
      {R"("bottom": {)",
       fmt::format(
           R"("strap": {{"points": {{"start": [0, 300], "end": [120, 300], "side": [0, 316]}}, "base_line": ["start", "end"],
      "fixed": "start", "length_line": "length", "girth_line": "width",
      "rules": [{{"measure_line": "length", "from": "start", "to": "end", "carries": {}}},
                {{"measure_line": "width", "from": "start", "to": "side", "carries": {{"tread": "1/6"}}}}]}},
    "bottom": {{)",
           carries)},
      {R"("pieces": [)", fmt::format(
                             R"("pieces": [{{"name": "strap", "forme": "strap",
     "outline": {{"drawing": "d", "layer": "STRAP"}}, "features": [{}],
     "corners": {{"a": "start", "b": "end", "c": [120, 316], "d": "side"}},
     "edges": [{{"name": "low", "from": "a", "to": "b"}}, {{"name": "tip", "from": "b", "to": "c"}},
               {{"name": "high", "from": "c", "to": "d"}}, {{"name": "end", "from": "d", "to": "a"}}]}}, )",
                             features)}};
}
constexpr const char* kGrows = R"({"stick length": "3/7"})";

std::string strap_with(const std::vector<double>& along) {
  std::string text = test::polyline({{0, 300}, {120, 300}, {120, 316}, {0, 316}}, "STRAP");
  for (const double x : along) text += test::tags(fmt::format("0 CIRCLE|8 13|10 {}|20 308|40 1", x));
  return text;
}

}  // namespace

TEST_CASE("the pitch of holes drawn in a strap is told over the sizes, with the row that holds it",
          "[silence][strap]") {
  const auto told = [](const std::vector<double>& along) {
    return findings_named(low_shoe_findings(strap(kGrows), strap_with(along)), "hole pitch");
  };
  const std::vector<StyleFinding> found = told({63, 71, 79, 87, 95});
  REQUIRE(found.size() == 1);
  CHECK(found[0].doubtful);
  CHECK(found[0].subject == "strap");
  // The strap is 3/7 of the stick: a size is 1/3 in of 11 in and more, so 8 mm become 7.5 and 8.5 two sizes
  // off.
  CHECK(found[0].worst == Catch::Detail::Approx(8.0 * 2.0 / 33.0).margin(0.05));
  for (const char* said : {"pitch of its 5 drawn holes", "7.52 mm in size 6", "8.00 mm in the base size 8",
                           "8.48 mm in size 10"})
    CHECK_THAT(found[0].note, Catch::Contains(said));
  // The row that it gives holds the pitch, where it is stated instead.
  const std::string row =
      R"({"eyelets": "buckle holes", "through": ["start", "end"], "inset": 8, "count": 5, "pitch": 8, )"
      R"("anchor": "end", "margin": [0, 25], "diameter": 2})";
  CHECK_THAT(found[0].note, Catch::Contains(row));
  const std::vector<StyleFinding> held = low_shoe_findings(strap(kGrows, row), strap_with({}));
  CHECK(findings_named(held, "hole pitch").empty());
  CHECK(findings_named(held, "hole to hole").front().worst == Catch::Detail::Approx(6.0));
  // One hole alone, two, and holes at no one distance are no row; others beside a row are not of it.
  CHECK(told({63, 71}).empty());
  CHECK(told({20, 63, 75, 95}).empty());
  const std::vector<StyleFinding> beside = told({10, 63, 71, 79});
  REQUIRE(beside.size() == 1);
  CHECK_THAT(beside[0].note, Catch::Contains("3 drawn holes"));
}

TEST_CASE("holes of a strap that does not grow, or in no strap, have nothing told of their pitch",
          "[silence][strap]") {
  TextChanges still = strap(R"({"strap length": 1})");
  still.push_back(
      {R"("tread": {)", R"("strap length": {"base": "120 mm", "per_size": 0, "per_width": 0}, "tread": {)"});
  CHECK(findings_named(low_shoe_findings(still, strap_with({63, 71, 79, 87})), "hole pitch").empty());
  std::string in_insole;
  for (const double x : {100.0, 108.0, 116.0})
    in_insole += test::tags(fmt::format("0 CIRCLE|8 13|10 {}|20 200|40 1", x));
  CHECK(findings_named(low_shoe_findings({}, in_insole), "hole pitch").empty());
}
