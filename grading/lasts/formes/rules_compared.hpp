// What a style's rules do to its formes beside what the last does to its own, and rules that follow the last.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/formes/forme_tie.hpp"

namespace lastwright {

struct ComparedPoint {
  std::string name;
  Vec2 by_rules;  // moves from the drawing, mm
  Vec2 by_last;
};
struct ComparedLine {
  std::string name;
  bool drives = true;     // a measure line; false: a check line
  double drawn = 0.0;     // mm
  double by_rules = 0.0;  // changes of its length
  double by_last = 0.0;
};

// One forme in one size and width. Points beyond the last, and lines that end there, are left out.
struct ComparedForme {
  SizeWidth at;
  std::size_t tie = 0;
  std::vector<ComparedPoint> points;
  std::vector<ComparedLine> lines;
};

// `places`: by tie, as places_by_last gives them. Fails where a style's rules do.
Result<std::vector<ComparedForme>> compare_rules(const LoadedStyle& style, const std::vector<FormeTie>& ties,
                                                 const SizeWidth& at, const std::vector<LastPlaces>& places);

// A point's move by the last as a rule: so much for each size and each width, by least squares over a run.
struct FittedRule {
  std::string point;
  Vec2 drawn;
  // Along the forme's base line and square to it, as a style's point rules are stated. None: the run has no
  // other size, or no other width, than the base's.
  std::optional<Vec2> per_size;
  std::optional<Vec2> per_width;
  double residual = 0.0;  // mm: the largest distance of the rule from the last's own place in the run
};
// Of every point of a tie that is compared in each of these cells.
std::vector<FittedRule> fit_rules(const LoadedStyle& style, const FormeTie& tie, std::size_t tie_number,
                                  const std::vector<ComparedForme>& compared);

// The sizes and widths of the cells that rules are fitted to, ascending.
struct FittedOn {
  std::vector<Size> sizes;
  std::vector<Width> widths;
};
FittedOn fitted_on(const std::vector<ComparedForme>& compared);

}  // namespace lastwright
