// How the last of a style is graded, as its file states it: which last, which measures drive, the own rules
// of heel height, toe spring, toe thickness and top plane.
//
//   {"lastwright_last": 1, "style": "style.json",
//    "bases": [{"file": "last.step", "size": "8", "width": "F"}], "foot": "left",
//    "targets": ["ball girth", "waist girth", "instep girth", "tread", "seat"],
//    "rules": {"heel height": {"per_size": "0.3 mm", "per_width": 0}, "toe spring": {}, "toe thickness": {},
//    "top plane": {}}, "landmarks": {"instep top": 0.545, "waist bottom": {"face": 3, "u": 0.2, "v": 0.7}},
//    "table_definitions": {"short heel": "taut-string v1"}, "bottom_follows_style": true, "sound_sizes": 4,
//    "sound_widths": 3}
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "geometry/result.hpp"
#include "grading/lasts/last_foot.hpp"
#include "grading/sizes/quantity.hpp"

namespace lastwright {

struct LastBase {
  std::string file;  // STEP, IGES or a mesh, relative to the file that names it
  std::string size;  // labels
  std::string width;
  std::optional<double> heel_height;  // mm: stands the last by it
  std::string axes;                   // "x,z": the file's axes that point to the toe and up
  std::string unit;                   // of a mesh: "mm", "cm", "m", "in"
  std::vector<int> bottom;            // faces that are its bottom, from 0; empty: the form tells
};

// Increments in millimetres per whole step.
struct LastRule {
  double per_size = 0.0;
  double per_width = 0.0;
};

// A landmark moved by hand: to another share of the length, or to a place in the surface.
struct SpotOnFace {
  int face = 0;  // from 0, in the order of the STEP file
  double u = 0.0;
  double v = 0.0;
};
using LandmarkChoice = std::variant<double, SpotOnFace>;

struct LastSpec {
  std::string style;
  std::vector<LastBase> bases;
  std::optional<LastFoot> foot;  // of all bases, as the file states it; unless given their forms tell
  std::vector<std::string> targets{"ball girth", "waist girth", "instep girth", "tread", "seat"};
  LastRule heel_height;
  LastRule toe_spring;
  std::optional<LastRule> toe_thickness;  // unless given it goes with the ball girth
  std::optional<LastRule> top_plane;  // unless given its height over the bottom goes with the instep girth
  std::map<std::string, LandmarkChoice> landmarks;
  // By which definition the style's table takes a measure, where that is not the last's own; see
  // last_definitions.hpp. Such values are told apart and never compared.
  std::map<std::string, std::string> table_definitions;
  bool bottom_follows_style =
      false;                 // the bottom's width at waist and instep takes the shares of the bottom forme
  double sound_sizes = 4.0;  // beyond this many steps from its base a last is flagged
  double sound_widths = 3.0;
};

// Refuses what last.schema.json does not allow, and a file that two bases name, with the JSON pointer.
Result<LastSpec> read_last_spec(std::string_view text, const std::string& file);

}  // namespace lastwright
