// Finds the corners of an outline again on the outline that was drawn in its place.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/redraw/outline_ruler.hpp"

namespace lastwright {

struct CornerMatchOptions {
  double reach = 12.0;  // mm: a corner is looked for no farther from where it was
  // Where the line under a corner that is no break of the outline has moved: the corner goes to the same
  // share of the line between what is found beside it. Else it is refused, and that place named.
  bool slide = false;
  // The outlines were drawn in chords and faired: joints without any break are the fairing's. They part
  // elsewhere where a chord is another, and are no places that were drawn.
  bool faired = false;
};

enum class FoundHow {
  kSame,    // drawn at the same place
  kOnLine,  // nothing is drawn at it, and the line runs there as it did
  kMoved,   // the corner of the new outline that it is taken for
  kSlid,
  kStated,  // by what the style states of it, which has moved
};

struct CornerFound {
  FoundHow how = FoundHow::kSame;
  Vec2 at;                // on the new outline
  std::string problem;    // why it is not found; `at` is then of no use
  std::string told = {};  // what is to be said of a place that is kept
};

struct CornersFound {
  std::vector<CornerFound> corners;  // one for each place asked for
  std::vector<Vec2> added;           // corners of the new outline that the old one had nothing like
};

// `places`: on the old outline, exactly. The new outline lies in the old one's frame. A break of the outline
// is found by where it is, which way it turns and its order among the others; what is drawn within 0.05 mm is
// the same. Refused is what two places fit about equally. A joint that is drawn no more is kept only where
// the outline beside it, to the next places and breaks, is the same, and no new joint is near, unless others
// beside it are gone too: else it may be one that has moved along its line. That one is taken where it is alone like the old one: by the count of all joints round the
// outline, or because the line runs at it as it did (like_joint.hpp). A place at which nothing was drawn is
// kept where its line runs as it did.
CornersFound match_corners(const OutlineRuler& was, const OutlineRuler& now, const std::vector<Vec2>& places,
                           const CornerMatchOptions& options);

// What two drawings have within this distance of each other is drawn the same.
inline constexpr double kSameDrawn = 0.05;  // mm: a curve drawn in short lines, exported with two decimals

}  // namespace lastwright
