// What a last maker is to know of the style that a last follows: its steps, and what its loading noted.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"

namespace lastwright {

// Steps of the table that go against the length's growth, of the measures that a last has: by size, and by
// width where a girth or a width falls from one to the next. "LOOK: ..." with measure, place and step.
std::vector<std::string> odd_table_steps(const LoadedStyle& style);

// Odd steps, how a forme follows a last, and the notes that the loading of a style without its drawings made.
// Of a style with pieces these are mostly a pattern maker's: how many there are, and which command shows
// them.
std::vector<std::string> told_of_style(const LoadedStyle& style, const std::string& file);

}  // namespace lastwright
