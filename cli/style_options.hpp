// The options that every command with a style file has.
#pragma once

#include "cli/options.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/jobs/style_part.hpp"

namespace lastwright {

// Declares --table and --units.
void add_load_style_options(Command& command, LoadStyleOptions& options);

// Declares --sizes and --widths with what they mean to the command, and --pieces.
void add_selection_options(Command& command, SelectionOptions& selection, const std::string& sizes,
                           const std::string& widths);

// Declares --sizes and --widths: only a part of the style's run, those that are approved.
void add_part_options(Command& command, PartLabels& part);

}  // namespace lastwright
