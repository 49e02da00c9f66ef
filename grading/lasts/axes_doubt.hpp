// Stated axes are obeyed; where the form of the last says plainly that it stands otherwise, that is told.
#pragma once

#include <string>
#include <vector>

#include "grading/lasts/pose.hpp"

namespace lastwright {

// What the form, by the ways in which it may stand, has against the directions that were stated, both in the
// frame of the file: heel and toe swapped, upside down, leaning, left and right exchanged. Empty where one of
// the likely ways agrees, or where the form is none of a last.
std::string axes_doubt(const std::vector<PoseGuess>& guesses, const LastAxes& stated);

// A refusal with that said behind it, for it is the likeliest cause; as it is where it is said or empty.
Problem with_axes_doubt(Problem problem, const std::string& against);

}  // namespace lastwright
