// Pieces of a bottom that are shorter than it, such as half socks and seat pads; and the feet that the pieces
// of one bottom are stated for.
#pragma once

#include <vector>

#include "grading/checks/piece_hands.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// Of each piece of a bottom that is shorter than the insole by a tenth and more, as drawn in the base:
//
//   "sole hand"   it runs out beyond the insole by more than kOverhang, and its mirror image in the base line
//                 does not; or it does so wherever it is shifted, and its mirror image three times less:
//                 turned over, or for the other foot;
//   "sole place"  else, it runs out beyond all that is as long as the insole by more than kOverhang, or
//   beyond
//                 the insole by more than 3 mm (common practice); or it lies on none of them.
//
// Soles, welts, rands and parts of the heel may run out by 12 mm, covers and wraps by 25 (common practice).
// Without an insole by name the longest piece is taken for it, where it is nearly as long as the base line.
std::vector<StyleFinding> check_sole_parts(const StyleGrade& grade);

// Adds "sole feet", doubtful: pieces on one forme of the bottom that are cut left and right and stated for
// unlike feet, one for each that is stated otherwise than most, or than the insole. Not what "sole hand"
// tells of, which is drawn for the other foot. `hands`: of all pieces; without them the style's word is
// taken.
void add_sole_feet(const StyleSpec& style, const std::vector<PieceHands>& hands,
                   std::vector<StyleFinding>& findings);

}  // namespace lastwright
