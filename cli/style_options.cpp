#include "cli/style_options.hpp"

namespace lastwright {

void add_load_style_options(Command& command, LoadStyleOptions& options) {
  command.add_option("--table", options.tables,
                     "a FILE with a scale (sizes), a ladder (widths) or a table of your own, besides those "
                     "the style names; may be repeated");
  command
      .add_option_function(
          "--units", [&options](const std::string& name) { options.unit = unit_named(name); },
          "unit of the drawings, whatever they say themselves, unless the style states it (\"units\"): mm, "
          "cm or in")
      ->check(one_of({"mm", "cm", "in"}));
}

void add_selection_options(Command& command, SelectionOptions& selection, const std::string& sizes,
                           const std::string& widths) {
  command.add_option("--size,--sizes", selection.sizes, sizes)->delimiter(',');
  command.add_option("--width,--widths", selection.widths, widths)->delimiter(',');
  command.add_option("--piece,--pieces", selection.pieces, "only these pieces")->delimiter(',');
}

void add_part_options(Command& command, PartLabels& part) {
  command
      .add_option(
          "--sizes", part.sizes,
          "only these sizes of the style's run, e.g. 8,8.5: those that are approved; the output says so")
      ->delimiter(',');
  command.add_option("--widths", part.widths, "only these widths")->delimiter(',');
}

}  // namespace lastwright
