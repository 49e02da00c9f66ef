// Soles beside their insole. By common practice an outsole or a midsole goes round the insole: the insole
// lies on it all over, and it runs out by as much as its edge or its welt is wide. Which is which only their
// names say. Whatever their names, all that is as long on one forme of the bottom bends the same way.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

enum class SoleName { kOther, kInsole, kSole, kEdge };

// By whole words, whatever their case: "insole" or "inner sole"; "outsole", "midsole" or "sole"; "welt" or
// "rand", which go round as well and have no middle. The cover or the wrap of one is another thing.
SoleName sole_name(const std::string& piece);

inline constexpr double kAsLong = 0.9;  // of the insole: a shorter sole ends at the heel's breast, or is half
inline constexpr double kOverhang = 1.0;    // mm; less is how finely two pieces are drawn
inline constexpr double kWidestRim = 12.0;  // mm that a sole, a welt or a rand runs out beyond the insole

// One for each insole and sole on one forme of the bottom, both as long as each other, where the insole runs
// out beyond the sole, finished or as the two are cut, in the base or at either end of the run; doubtful, the
// worst is how far ("sole size"). Where it does not in the base, how even its rim is there ("sole rim"). And
// one for each piece that bends like the mirror image of the insole, or of the first as long, and not like
// it: it is drawn turned over ("sole hand"); the worst is how far its middle lies off.
std::vector<StyleFinding> check_soles(const StyleGrade& grade);

}  // namespace lastwright
