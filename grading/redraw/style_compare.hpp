// Two versions of a style: what they state otherwise, and what then is cut otherwise, size by size.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/json_forward.hpp"

namespace lastwright {

struct StatedDifference {
  std::string where;  // "pieces, vamp, edges, feather, allowance"
  std::string was;    // as JSON, shortened; "" where it was not stated
  std::string now;    // "" where it is no longer stated
};

// Things of a list are told apart by their names, so that order does not matter where it means nothing; keys
// whose order changes are not told. In the order of `was`, what is new behind it.
std::vector<StatedDifference> stated_differences(const Json& was, const Json& now);

struct CompareOptions {
  Millimetres tolerance{0.2};  // within which a die of the one serves the other
  unsigned threads = 0;
};

struct CellCompare {
  std::string size;
  std::string width;
  double off = 0.0;  // mm: greatest distance of the two cut lines where they lie on their forme
  // mm: the same, one laid on the other as a die is, moved and turned for it to be least (closest_lie)
  double laid = 0.0;
  double area = 0.0;  // mm2 of net area that the new one has more
  bool good = false;  // a die of the old one serves the new one
  std::string why;    // it does not, beyond the outline
  // Within a cut line that is the same: the first hole, nick, line or text that is another, in words. A die
  // may stay good all the same.
  std::string drawn;
};

struct PieceCompare {
  std::string piece;
  bool was = false;
  bool now = false;
  std::vector<CellCompare> cells;  // of the sizes and widths that both have
  // In the base of the old version, where both have it: as they lie on their forme.
  ClosedArcPath base_was;
  ClosedArcPath base_now;
};

struct MeasureCompare {
  std::string measure;
  double most = 0.0;  // mm that the new one is larger where it differs most, negative: smaller
  std::string size;   // there
  std::string width;
  bool was = false;
  bool now = false;
};

struct StyleCompare {
  std::vector<StatedDifference> stated;
  std::vector<MeasureCompare> measures;
  std::vector<PieceCompare> pieces;   // those of the old one, then those that are new
  std::vector<std::string> only_was;  // sizes and widths that only one of them has: "13 H"
  std::vector<std::string> only_now;
  double tolerance = 0.0;
  [[nodiscard]] bool same() const;
};

// Refuses a piece that cannot be cut in one of them.
Result<StyleCompare> compare_versions(const LoadedStyle& was, const StyleGrade& was_graded,
                                      const LoadedStyle& now, const StyleGrade& now_graded,
                                      const CompareOptions& options);

}  // namespace lastwright
