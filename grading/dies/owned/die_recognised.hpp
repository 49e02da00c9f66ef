// Owned dies that are outlines of the grade: of a size and width, or half way between two.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/dies/plan/die_candidates.hpp"

namespace lastwright {

// A drawing this near to an outline of the grade, work included, is that outline: mm, what writing and
// reading it may change, and far less than a rule is bent to (see kMirrorImage).
inline constexpr Millimetres kSameOutline{0.005};

// What a die drawn at a place of the grade is.
struct GradeOutline {
  DieOutline outline;
  RigidInvariants invariants;
  std::string label;  // as an order says where a die is drawn
  bool made = true;   // false of a place elsewhere of which no outline can be made
};

// An owned die that is an outline of the grade, in the grade's own exact figures.
struct Recognised {
  std::uint32_t place = 0;
  bool size_marks = false;
  DieShape shape;
};

// Of the piece, by place; the run's own are those of the candidates. Fails when one of the run cannot be
// made.
Result<std::vector<GradeOutline>> grade_outlines(const DiePlanInput& input, std::size_t piece,
                                                 const PieceCandidates& candidates);

// Which of them the die is, laid as they lie. Of several that are alike it is the one that its order says was
// drawn, else the first.
std::optional<Recognised> recognise(const std::vector<GradeOutline>& grade, const DieShape& die,
                                    const std::string& drawn_as);

// Of the wanted outline onto the die's, without its work. What fits no nearer than `give_up_above` mm may
// come back given up, or with its ratio.
RigidFit fit_outline(const DieShape& die, const DieShape& wanted, double give_up_above);

// Brings holes, cut-outs and marks of a die into the style's order. False where there are other ones or not
// as many. `onto`: of the wanted shape onto the die.
bool arranged(DieShape& die, const DieShape& wanted, const Placement& onto);

// "8 holes of 2.5 mm, 1 of 3 mm, 2 pricks, no cut-outs, 4 nicks": to a hundredth of a millimetre.
std::string work_words(const DieShape& shape);

}  // namespace lastwright
