// Whole pairs laid on a hide: an estimate that a person
// can look at, not the most that a cutter gets out of it.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "grading/grade/grade.hpp"
#include "grading/planning/hide_drawing.hpp"
#include "grading/planning/hide_rule.hpp"
#include "grading/planning/scale_area.hpp"

namespace lastwright {

struct HidePair {
  std::size_t cell = 0;  // size and width
};

struct HideOptions {
  LayRules rules;
  std::map<std::string, HideRule> pieces;  // by name; others lie along, anywhere
  double mates_within = 1.5;  // of a pair's like pieces: lengths of the piece, where there is room
  std::size_t most_pairs = 500;
  bool rows = false;  // like pieces in rows where they fit, the others singly: mates may then lie far apart
  unsigned threads = 0;
  std::function<void(std::size_t)> expect;   // how many layouts will be tried, before the first
  std::function<void(std::size_t)> advance;  // so many more are done with: tried, or no longer needed
};

struct HidePiece {
  std::size_t piece = 0;
  std::size_t cell = 0;
  std::size_t pair = 0;   // from 0
  bool mirrored = false;  // for the other foot than is drawn
  // The outline as it is cut, turned by `lay` first (its grain along x), mirrored in x = 0 where it is
  // mirrored, its middle at the origin, is turned by `turn` and then lies at `at`.
  double lay = 0.0;
  Vec2 middle;
  double turn = 0.0;
  Vec2 at;
  ClosedArcPath outline;  // where it lies
  std::size_t row = 0;    // from 1: in a row of like pieces; 0: laid singly
};

struct HideLayout {
  std::size_t pairs = 0;  // whole ones
  std::vector<HidePiece> pieces;
  double net = 0.0;               // mm^2 of the pieces
  double overlap = 0.0;           // mm^2 that any two share, or that lies off the hide or in a hole, measured
  double beyond_zone = 0.0;       // mm^2 of any that lie beyond the zones it comes from, measured
  double mates_apart = 0.0;       // mm between the middles of a pair's like pieces, at most
  std::size_t mates_far = 0;      // pairs of like pieces farther apart than was asked for
  std::size_t without_grain = 0;  // kinds of piece that have no grain line: laid as they are drawn
  std::size_t rows = 0;           // rows of like pieces
  std::size_t in_rows = 0;        // pieces in them
  bool all = false;               // all pairs that were asked for
};

// The pairs in turn, as many as were found to lie on the hide together. `pieces`: indices of the style's
// pieces that are cut from it. Rows lie wholly in one zone of their piece, each piece of them along the
// direction that is nearest to it. Refuses rules of these that name zones that are not there, and a piece
// that does not lie on the hide at all.
Result<HideLayout> lay_on_hide(const StyleGrade& grade, const std::vector<std::size_t>& pieces,
                               const std::vector<HidePair>& pairs, const HideDrawing& hide,
                               const HideOptions& options);

}  // namespace lastwright
