// Everything that is proved of a graded style, by the limits that it states.
#pragma once

#include <vector>

#include "grading/checks/piece_hands.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

struct JudgedStyle {
  std::vector<StyleFinding> findings;  // of all checks of this folder, then of the hands
  std::vector<PieceHands> hands;       // stays empty where a piece cannot be cut, which the findings tell
  Result<std::vector<SeamReport>> seams;
  Result<std::vector<PieceGirth>> girths;
};

// `looks`: what `looker` saw of every piece in every cell. threads: 0 for one per core; the result does not
// depend on them. `one_to_one`: what check_one_to_one says, where it is known; null: it is asked.
JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        const StyleLooker& looker, const StyleLooks& looks, unsigned threads,
                        const std::vector<StyleFinding>* one_to_one = nullptr);
// Makes and looks at every piece.
JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        unsigned threads = 0);

// Whether what failed is what no set can be made with: an allowance that does not fit, a feature that cannot
// be made, a piece that cannot be drawn for cutters. What writes pieces refuses the style then (exit code 4).
bool none_can_be_made(const std::vector<StyleFinding>& findings);

}  // namespace lastwright
