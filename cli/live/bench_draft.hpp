// Drawings on the bench: a style drafted from them anew, and the pile of outlines that are no pieces yet.
#pragma once

#include <string>
#include <vector>

#include "cli/drawings/draft_files.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/json_forward.hpp"

namespace lastwright {

struct DraftedAnew {
  std::string text;               // of the style
  std::vector<std::string> told;  // what the user should know, one line each
};

// `path`: of the style file, whose drawings are drafted as if `lastwright new` had been asked:
//   {"size": "37", "scale": "paris-point", "ladder": "", "width": "", "widths": ["N", "M"], "from": "",
//    "to": "", "by": "1", "kinds": ["court"], "lay": true, "fair": 0.02, "corner_angle": 20,
//    "inside": "cut-outs", "edge_lines": "nicks", "measures": "here" or the name of a JSON file beside the
//    style}
// What is not said, or "", is guessed; what lines at an edge are is as the first drawing has it unless said.
// Where the widths need a table of their own it is written beside the style, under a name that is free or
// holds the same. Precondition: `style` was read from that file's text.
Result<DraftedAnew> drafted_anew(const std::string& path, const StyleSpec& style, const Json& asked);

// What can be asked for: {"scales", "ladders", "kinds", "measures", "versions", "drawings"}, lists of names;
// versions are other styles beside this one, drawings such as may be drawings of pieces.
Json draft_choices(const std::string& path, const StyleSpec& style);

// The outlines of the style's drawings that are no pieces: [{"drawing", "name", "about", "piece", "net"}],
// with the piece each would become as a style states it, and its outline as sheet_json has one.
Json pile_json(const LoadedStyle& style);

}  // namespace lastwright
