// Which pieces of a style are cut once for both feet, and how many of each hand one pair needs.
//
// A piece whose cut line, cut-outs, holes and nicks are their own mirror image in every size and width (a
// rigid fit of the piece to its mirror image, grading/dies/die_hands) is found symmetric whatever the style
// states; from a material with two good sides the other hand is the same shape turned over; all others are
// cut left and right.
#pragma once

#include <string>
#include <vector>

#include "grading/checks/style_checks.hpp"
#include "grading/dies/die_hands.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct PieceHands {
  std::string piece;
  HandChoice choice;
  Hand stated = Hand::kHanded;
  double mirror =
      0.0;  // mm from its mirror image, the worst over the run; where it is not symmetric: of the sample
  SizeWidth where;
  // Pieces for one pair: of the shape as drawn, of its mirror image, and of a shape that serves both.
  int drawn = 0;
  int mirrored = 0;
  int either = 0;
};

// Millimetres of the outline, cut-outs, holes and marks from their mirror image; of a piece that is cut
// double from their image in its fold where they are symmetric about that. `cut`: with its features.
double mirror_deviation(const GradedPiece& cut);

// `looks`: from a StyleLooker of this grade. Fails where a piece cannot be cut: in the sample, or in any size
// and width if the sample is its own mirror image.
Result<std::vector<PieceHands>> piece_hands(const StyleGrade& grade, const StyleLooks& looks);

// Adds one for each piece; fails for a piece that is stated symmetric and is not.
void add_hand_findings(const std::vector<PieceHands>& all, std::vector<StyleFinding>& findings);

}  // namespace lastwright
