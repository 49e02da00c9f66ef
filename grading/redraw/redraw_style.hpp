// A changed drawing takes the place of the one that a style was made from.
//
// What the style says in coordinates is found again on the new outlines; names, edges, seams, features and
// rules go by corners and follow them. What was found is listed with how far it moved, what was not is a
// Problem, and then there is no new style.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/curve.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/redraw/corner_match.hpp"

namespace lastwright {

struct RedrawOptions {
  LoadStyleOptions files;
  CornerMatchOptions corners;
  std::map<std::string, std::string> fresh;  // the new drawings' files by the style's key for the old one
  std::map<std::string, std::string> was;    // old drawings that are not where the style says, by key
  // Files as the new style shall name them, by JSON pointer: the new drawings, and others where the new style
  // lies in another folder.
  std::map<std::string, std::string> names;
  std::optional<std::string> text = {};  // of the old style, in place of what its file holds
};

struct MovedPlace {
  std::string what;  // "vamp, corner toe", "point toe of the forme shell"
  std::string pointer;
  FoundHow how = FoundHow::kSame;
  Vec2 was;  // in the frame of the style's coordinates
  Vec2 now;
};

struct RedrawnEdge {
  std::string name;
  double most = 0.0;  // mm that it leaves the old outline
  Vec2 at;            // there, on the new one
};

struct RedrawnPiece {
  std::string name;
  std::vector<Curve> was;
  std::vector<Curve> now;  // in the same frame
  std::vector<RedrawnEdge> edges;
  std::vector<MovedPlace> corners;  // those that moved
};

struct Redraw {
  std::string text;  // of the new style; meant only where there are no problems
  std::vector<std::string>
      told;  // how the sheet lies, what is renamed, new, or kept though nothing is drawn there
  // By more than a thousandth of a millimetre what was found in the drawing, and by more than kSameDrawn what
  // moved with it: every point of a forme and every feature of a piece that lies elsewhere in the base size.
  std::vector<MovedPlace> moved;
  std::vector<RedrawnPiece> pieces;  // of the new drawings, in the order of the style
  std::vector<Problem> problems;
  std::vector<std::string> inputs;  // every file that was read
};

Redraw redraw_style(const std::string& path, const RedrawOptions& options);

}  // namespace lastwright
