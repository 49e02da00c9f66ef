// A small style that passes its checks: a low shoe of a vamp on the fold, a quarter and an insole, three
// polygons, with a throat. Tests change its text, or draw something more.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/jobs/check_job.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/dxf_maker.hpp"
#include "tests/support/placed.hpp"

namespace lastwright::test {

inline std::string polyline(const std::vector<Vec2>& points, const std::string& layer) {
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, points.size());
  for (const Vec2 p : points) text += fmt::format("|10 {}|20 {}", p.x, p.y);
  return tags(text);
}

// The vamp's top line runs 6.71 mm below the fold line's end of the ball line, at x = 190.
inline constexpr const char* kLowShoe = R"({
  "lastwright_style": 1, "name": "Low shoe", "scale": "english", "ladder": "english-letters",
  "base": {"size": "8", "width": "F"}, "run": {"from": "6", "to": "10", "widths": ["E", "F"]},
  "measures": {"stick length": {"from_scale": true},
    "ball girth": {"base": "180.08 mm", "per_size": "1/4 in", "per_width": "1/4 in"},
    "tread": {"base": "90 mm", "per_size": "1/12 in", "per_width": "1/12 in"}},
  "drawings": {"d": {"file": "d.dxf", "layers": {"VAMP": "boundary", "QUARTER": "boundary", "INSOLE": "boundary"}}},
  "formes": {
    "shell": {
      "points": {"heel": [0, 0], "stick end": [279.4, 0], "vamp point": [200, 40], "ball top": [190, 45.038], "joint": [190, 0],
                 "side top": [140, 30], "side foot": [130, 0], "back top": [0, 60]},
      "base_line": ["heel", "stick end"], "fixed": "heel", "length_line": "stick", "girth_line": "ball line",
      "rules": [
        {"measure_line": "stick", "from": "heel", "to": "stick end", "carries": {"stick length": 1}},
        {"measure_line": "ball line", "from": "ball top", "to": "joint", "carries": {"ball girth": "1/2", "tread": "-1/2"}},
        {"straight": ["stick end", "vamp point", "ball top"]}]},
    "bottom": {
      "points": {"heel": [0, 200], "toe": [279.4, 200], "inside": [190, 155], "outside": [190, 245]},
      "base_line": ["heel", "toe"], "fixed": "heel", "length_line": "length", "girth_line": "tread",
      "rules": [
        {"measure_line": "length", "from": "heel", "to": "toe", "carries": {"stick length": 1}},
        {"measure_line": "tread", "from": "inside", "to": "outside", "carries": {"tread": 1}}]}},
  "girths": {"ball girth": [{"forme": "shell", "line": "ball line", "times": 2}, {"forme": "bottom", "line": "tread"}]},
  "pieces": [
    {"name": "vamp", "forme": "shell", "outline": {"drawing": "d", "layer": "VAMP"}, "layer": "uppers", "fold": "fold",
     "corners": {"toe": "stick end", "vamp point": "vamp point", "side top": "side top", "side foot": "side foot"},
     "edges": [{"name": "fold", "from": "toe", "to": "vamp point"}, {"name": "top line", "from": "vamp point", "to": "side top"},
               {"name": "side", "from": "side top", "to": "side foot"}, {"name": "feather", "from": "side foot", "to": "toe"}]},
    {"name": "quarter", "forme": "shell", "outline": {"drawing": "d", "layer": "QUARTER"}, "layer": "uppers",
     "corners": {"heel": "heel", "side foot": "side foot", "side top": "side top", "back top": "back top"},
     "edges": [{"name": "feather", "from": "heel", "to": "side foot"}, {"name": "side", "from": "side foot", "to": "side top"},
               {"name": "top line", "from": "side top", "to": "back top"}, {"name": "back", "from": "back top", "to": "heel"}]},
    {"name": "insole", "forme": "bottom", "outline": {"drawing": "d", "layer": "INSOLE"},
     "corners": {"heel": "heel", "inside": "inside", "toe": "toe", "outside": "outside"},
     "edges": [{"name": "a", "from": "heel", "to": "inside"}, {"name": "b", "from": "inside", "to": "toe"},
               {"name": "c", "from": "toe", "to": "outside"}, {"name": "d", "from": "outside", "to": "heel"}]}],
  "seams": [{"name": "side", "one": {"piece": "vamp", "edge": "side"}, "other": {"piece": "quarter", "edge": "side"}}],
  "limits": {"seam": 0.1}
})";

using TextChanges = std::vector<std::pair<std::string, std::string>>;

// What stands first is replaced once, and must be there.
inline std::string with_changes(std::string text, const TextChanges& changes) {
  for (const auto& [from, to] : changes) {
    const auto at = text.find(from);
    INFO(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
  }
  return text;
}

inline std::string low_shoe_drawing(const std::string& drawn_too = {}) {
  return drawing(polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "VAMP") +
                 polyline({{0, 0}, {130, 0}, {140, 30}, {0, 60}}, "QUARTER") +
                 polyline({{0, 200}, {190, 155}, {279.4, 200}, {190, 245}}, "INSOLE") + drawn_too);
}

// Puts the style and its drawing into a folder; the style's name.
inline std::string put_low_shoe(const ScratchFolder& folder, const TextChanges& changes = {},
                                const std::string& drawn_too = {}) {
  put(folder.path() / "d.dxf", low_shoe_drawing(drawn_too));
  put(folder.path() / "s.json", with_changes(kLowShoe, changes));
  return folder / "s.json";
}

// All that check finds.
inline std::vector<StyleFinding> low_shoe_findings(const TextChanges& changes = {},
                                                   const std::string& drawn_too = {}) {
  const ScratchFolder folder;
  const Checked<LoadedStyle> load = load_style(put_low_shoe(folder, changes, drawn_too));
  INFO((load.ok() ? std::string() : to_text(load.problems().front())));
  REQUIRE(load.ok());
  const Result<CheckedStyle> checked = check_loaded(*load, false, 1);
  INFO((checked ? std::string() : to_text(checked.problem())));
  REQUIRE(checked.ok());
  return placed(checked->found.findings);
}

inline std::vector<StyleFinding> findings_named(const std::vector<StyleFinding>& all,
                                                const std::string& check) {
  std::vector<StyleFinding> some;
  for (const StyleFinding& one : all) {
    if (one.check == check) some.push_back(one);
  }
  return some;
}

// How many doubtful findings of this name there are; others of the name are none.
inline std::size_t told_of(const std::string& check, const TextChanges& changes,
                           const std::string& drawn = {}) {
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(changes, drawn), check);
  CHECK(std::all_of(told.begin(), told.end(), [](const StyleFinding& one) { return one.doubtful; }));
  return told.size();
}

// What stands behind the outline of the vamp.
inline constexpr const char* kVampFold = "\"layer\": \"uppers\", \"fold\": \"fold\"";
// Features put on a piece whose text follows these words.
inline TextChanges features(const std::string& all, const std::string& words = kVampFold) {
  return {{words, words + ", \"features\": [" + all + "]"}};
}

}  // namespace lastwright::test
