// What a run of lasts tells people: tables, the picture of the nest, the summary on the terminal.
#pragma once

#include <string>

#include "cli/last/last_set.hpp"

namespace lastwright {

// One row per size, width and measure: value, what the table asks, the difference, the definition.
std::string measures_csv(const LastSet& set);

// The change of the last's upper and bottom section lengths against what the formes' lines carry.
std::string ties_csv(const LastSet& set);

// Side view, plan and girth sections of one last, as SVG groups in the frame of the nest's picture.
// `in_sizes`: among the sizes of the base width; `in_widths`: among the widths of the base size.
std::string nest_lines(const BaseLast& base, const GradedLast& last, bool in_sizes, bool in_widths);
// The picture: all lasts of the base width over each other, and all widths of the base size. Physical
// millimetres.
std::string nest_svg(const LastSet& set);

void print_summary(const LastSet& set, const std::string& folder);

}  // namespace lastwright
