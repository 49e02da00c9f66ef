// How far a cut line runs from its net line: at a sharp corner many times its allowance.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "grading/checks/allowances/net_spikes.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;
struct PieceLook;

// Times its allowance that a cut line may run from its net line unless the style states another limit:
// mitred, a corner of less than 39 degrees; common practice.
inline constexpr double kFarthestReach = 3.0;

struct CutReach {
  std::size_t edge = 0;    // of the two at the place the one with the wider allowance
  double reach = 0.0;      // mm from the place to the nearest one of the net line
  double allowance = 0.0;  // mm, the wider of the two
  Vec2 at;                 // of the cut line
  [[nodiscard]] double times() const { return reach / allowance; }
};

// Of each edge whose cut line runs farther from the net line than its allowance at a corner, the place where
// it does so by the most times. `piece`: unfolded, with its cut line.
std::vector<CutReach> cut_reaches(const GradedPiece& piece, std::span<const Millimetres> allowances);

// "cut line reach": where it is more times the allowance than the limit of its treatment; also what passes by
// a stated limit alone. "spike": what of a net line is narrower than the style's limit. Nothing where there
// is neither.
std::vector<StyleFinding> check_reach(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<std::vector<PieceLook>>& looks);

}  // namespace lastwright
