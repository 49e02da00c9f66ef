// What is at hand while a drawing takes the place of another, and what has come of it so far.
#pragma once

#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "grading/json/json_splice.hpp"
#include "grading/redraw/mark_match.hpp"
#include "grading/redraw/place_votes.hpp"
#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

struct RedrawWork {
  const std::string& path;  // of the old style
  RedrawOptions options;
  std::string text = {};  // of the old style
  LoadedStyle old = {};
  std::shared_ptr<const JsonDocument> document = {};  // of the text
  std::set<std::string> fresh_keys = {};              // drawings that are new
  std::vector<JsonEdit> edits = {};                   // of the text, in order
  PlaceVotes votes = {};                              // by pointer: of corners
  PlaceVotes side_votes = {};                         // of outlines that a place lies on
  std::map<std::string, Vec2> corner_now = {};        // by pointer
  std::map<std::string, MarkPairs> marks = {};        // by drawing
  Redraw out = {};

  // A Problem at that place of the old style.
  void refuse(const std::string& pointer, std::string message);
  void add(Problem problem);
  void add(std::vector<JsonEdit> more);
  [[nodiscard]] const FormeSpec& forme_of(const PieceSpec& piece) const;
  // "point toe of the forme shell", of the place with that pointer.
  [[nodiscard]] std::string words_of(const std::string& pointer) const;
  // Puts all edits into the text of the new style. False, with a Problem, where one does not go in.
  bool put_edits();
};

inline constexpr double kToTell = 1e-3;  // mm: less is the rounding of a drawing

// "(12.500, -3.000)"; what rounds to nothing has no sign.
std::string place_text(Vec2 p);

}  // namespace lastwright
