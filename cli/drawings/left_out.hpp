// What a style's drawings hold and no piece has: every command says it that leads to steel or leather.
#pragma once

#include "grading/jobs/load_style.hpp"

namespace lastwright {

// A warning on standard error for each kind, layer and reason (left_out_of).
void tell_left_out(const LoadedStyle& style);

// One for each drawing, with what and how many (left_out_in_short_of): where there is more to be told.
void tell_left_out_in_short(const LoadedStyle& style);

}  // namespace lastwright
