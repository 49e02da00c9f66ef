#include "grading/style/feature_json.hpp"

#include <catch2/catch.hpp>

#include "grading/json/json_text.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;
using lastwright::testing::kSmallStyle;

namespace {

// The small style with these features on its vamp, and a code of sizes.
std::string with_features(const std::string& features) {
  std::string text = kSmallStyle;
  const std::string piece = R"("per_pair": 2)";
  text.insert(text.find(piece) + piece.size(), ", \"features\": [" + features + "]");
  const std::string seams = R"("seams": [)";
  text.insert(text.find(seams), R"("codes": {"sizes": {"of": "size", "marks": {"8": [1, 3], "9": []}}}, )");
  return text;
}

// Every kind and every key, as it is written back.
const char* const kFeatures[] = {
    R"({"hole": "h", "at": "throat", "diameter": 3.5})",
    R"({"hole": "h", "at": [200, 20], "diameter": 2, "both_halves": false})",
    R"({"prick": "p", "at": {"point": "throat", "by": [3, -4.5]}})",
    R"({"eyelets": "e", "edges": ["wing"], "inset": 12, "margin": 10, "count": 6, "diameter": 4.5})",
    R"({"eyelets": "e", "edges": ["wing"], "inset": 12, "margin": [10, 8], "count": 5, "counts": [{"from": "9", "to": "13", "count": 6}], "pitch": 11, "anchor": "start", "diameter": 4.5})",
    R"({"perforation": "b", "through": ["throat", [180, 30], "toe"], "inset": -2, "pitch": 7, "fill": true, "unit": [{"diameter": 2.5}, {"along": 3.5, "across": 1, "diameter": 1.2}]})",
    R"({"pricks": "r", "edges": ["wing", "feather"], "inset": 5, "pitch": 12.5})",
    R"({"slot": "s", "at": {"edge": "fold", "share": "1/2", "inset": 6}, "length": 14, "width": 2, "angle": 30})",
    R"({"buckle_bar": "k", "at": {"edge": "wing", "distance": 20, "from_end": true}, "bar": 22, "slot_length": 15, "slot_width": 4})",
    R"({"stitch_line": "l", "edges": ["wing"], "inset": 2, "margin": [1, 0], "rows": 2, "row_gap": 2.5})",
    R"({"lap_guide": "g", "edges": ["wing"]})",
    R"({"skive": "v", "edges": ["wing", "feather"], "width": 10, "depth": 0.8})",
    R"({"nick": "n", "edge": "wing", "share": "1/2"})",
    R"({"nick": "n", "edge": "wing", "distance": 12, "from_end": true, "form": "vee", "depth": 2, "width": 4, "both_halves": true})",
    R"({"nick": "n", "edge": "wing", "distance": 0})",
    R"({"nick": "n", "edge": "wing", "distance": 0, "from_end": true})",
    R"({"hole": "h", "at": {"edge": "wing", "distance": 0, "inset": 5}, "diameter": 2})",
    R"({"nick": "n", "edge": "fold", "share": 1, "form": "outward"})",
    R"({"size_marks": "m", "code": "sizes", "edge": "feather", "distance": 15, "pitch": 5, "depth": 4})",
    R"({"text": "t", "at": [200, 30], "says": "{size} {width}", "height": 5, "angle": -20})",
    R"({"pair_number": "q", "at": [200, 10], "width": 20, "height": 10, "angle": 5})",
};

}  // namespace

TEST_CASE("every kind of feature reads and writes back the same", "[feature_json]") {
  for (const char* feature : kFeatures) {
    INFO(feature);
    const StyleRead read = read_style(with_features(feature), "s.json");
    for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
    REQUIRE(read.ok());
    CHECK(feature_json(read.style->pieces[0].features.at(0)) == test::parsed_json(feature));
    const std::string written = write_style(*read.style);
    const StyleRead again = read_style(written, "t.json");
    REQUIRE(again.ok());
    CHECK(write_style(*again.style) == written);
  }
}

TEST_CASE("lengths of features take units, limits and codes are read", "[feature_json]") {
  std::string text = with_features(R"({"hole": "h", "at": "throat", "diameter": "1/8 in"})");
  const std::string limits = R"("limits": {)";
  text.insert(text.find(limits) + limits.size(),
              R"("hole_to_edge": "3 mm", "hole_to_hole": 1, "nick_to_corner": 5, )");
  const StyleRead read = read_style(text, "s.json");
  REQUIRE(read.ok());
  CHECK(std::get<HoleWork>(read.style->pieces[0].features[0].work).diameter == Millimetres(3.175));
  CHECK(read.style->feature_limits.hole_to_edge == Millimetres(3));
  CHECK(read.style->feature_limits.hole_to_hole == Millimetres(1));
  CHECK(read.style->feature_limits.nick_to_corner == Millimetres(5));
  REQUIRE(read.style->codes.size() == 1);
  CHECK(read.style->codes[0].marks[0].second == std::vector<int>{1, 3});
  CHECK(test::parsed_json(write_style(*read.style)).at("limits") ==
        test::parsed_json(R"({"seam": 0.2, "hole_to_edge": 3, "hole_to_hole": 1, "nick_to_corner": 5})"));
}

TEST_CASE("features that cannot be meant are refused with their place", "[feature_json]") {
  struct Case {
    const char* feature;
    const char* pointer;
    const char* says;
  };
  const Case cases[] = {
      {R"({"hole": "h", "at": "throt", "diameter": 3})", "/at", "did you mean \"throat\"?"},
      {R"({"hole": "h", "at": "throat", "diameter": 0})", "/diameter", "must be above 0, not 0 mm"},
      {R"({"hole": "h", "at": {"edge": "wimg", "distance": 5}, "diameter": 3})", "/at/edge", "\"wing\""},
      {R"({"hole": "h", "at": {"edge": "wing", "share": 2}, "diameter": 3})", "/at/share",
       "between 0 and 1, not at 2"},
      {R"({"hole": "h", "at": "throat", "diametre": 3})", "/diametre", "\"diameter\""},
      {R"({"eyelets": "e", "edges": ["wing", "fold"], "count": 3, "diameter": 3})", "/edges/1",
       "comes the edge \"feather\""},
      {R"({"eyelets": "e", "count": 3, "diameter": 3})", "", "give one of the two"},
      {R"({"eyelets": "e", "edges": ["wing"], "diameter": 3})", "", "a count, a pitch"},
      {R"({"eyelets": "e", "edges": ["wing"], "count": 0, "diameter": 3})", "/count", "1"},
      {R"({"perforation": "b", "edges": ["wing"], "pitch": 5, "unit": [{"diameter": 0}]})",
       "/unit/0/diameter", "above 0"},
      {R"({"slot": "s", "at": "throat", "length": 2, "width": 2})", "/length",
       "longer than it is wide: 2 mm long, 2 mm wide"},
      {R"({"stitch_line": "l", "edges": ["wing"], "inset": 2, "margin": [3, -1]})", "/margin",
       "must be 0 or more, not -1 mm"},
      {R"({"skive": "v", "edges": ["wing"], "width": 8, "depth": -0.5})", "/depth", "not -0.5 mm"},
      {R"({"stitch_line": "l", "edges": ["wing"]})", "/inset", "above 0"},
      {R"({"stitch_line": "l", "edges": ["wing"], "inset": 2, "rows": 2})", "/row_gap", "above 0"},
      {R"({"skive": "v", "edges": ["wing"], "width": "4 ells"})", "/width", "ells"},
      {R"({"nick": "n", "edge": "fold", "share": "1/2"})", "/edge", "start or its end"},
      {R"({"nick": "n", "edge": "wing", "share": "1/2", "form": "round", "depth": 1, "width": 4})", "/depth",
       "half as deep as it is wide: 1 mm deep, 4 mm wide"},
      {R"({"size_marks": "m", "code": "sizs", "edge": "feather", "distance": 9, "pitch": 5})", "/code",
       "\"sizes\""},
      {R"({"nick": "n", "edge": "wing"})", "", "give a share or a distance"},
      {R"({"nick": "n", "edge": "wing", "share": "1/2", "distance": 5})", "", "give one of the two"},
      {R"({"nick": "n", "edge": "wing", "share": "1/2", "from_end": true})", "/from_end", "with a distance"},
      {R"({"size_marks": "m", "code": "sizes", "edge": "feather", "pitch": 5})", "", "a share or a distance"},
      {R"({"slot": "s", "at": {"edge": "wing", "inset": 6}, "length": 9, "width": 2})", "/at",
       "a share or a distance"},
      {R"({"eyelets": "e", "edges": ["wing"], "count": 3, "anchor": "end", "diameter": 3})", "/anchor",
       "without a pitch"},
      {R"({"pricks": "e", "edges": ["wing"], "pitch": 3, "fill": true, "anchor": "end"})", "/anchor",
       "anchor or fill"},
      {R"({"prick": "p", "at": "throat"}, {"prick": "p", "at": "toe"})", "", "two features"},
      {R"({"text": "t", "at": "throat", "says": "{sizes} {width}"})", "/says", "\"size\""},
  };
  for (const Case& one : cases) {
    INFO(one.feature);
    const StyleRead read = read_style(with_features(one.feature), "s.json");
    REQUIRE_FALSE(read.ok());
    const std::string place = read.problems[0].place.pointer;
    CHECK(place.find("/pieces/0/features/") == 0);
    CHECK(place.substr(std::string("/pieces/0/features/0").size()) == one.pointer);
    UNSCOPED_INFO(read.problems[0].message);
    CHECK(read.problems[0].message.find(one.says) != std::string::npos);
  }
}
