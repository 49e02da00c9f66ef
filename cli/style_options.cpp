#include "cli/style_options.hpp"

#include <map>

namespace lastwright {

void add_load_style_options(Command& command, LoadStyleOptions& options) {
  static const std::map<std::string, DrawingUnit> kUnits = {
      {"mm", DrawingUnit::kMillimetre}, {"cm", DrawingUnit::kCentimetre}, {"in", DrawingUnit::kInch}};
  command.add_option("--table", options.tables,
                     "a scale, ladder or table of your own, besides those the style names");
  command
      .add_option_function(
          "--units", [&options](const std::string& name) { options.unit = kUnits.at(name); },
          "unit of the drawings, whatever they say themselves, unless the style gives it (\"units\"): mm, "
          "cm, in")
      ->check(one_of({"mm", "cm", "in"}));
}

}  // namespace lastwright
