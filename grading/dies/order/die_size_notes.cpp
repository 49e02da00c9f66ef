#include "grading/dies/order/die_size_notes.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

std::vector<std::string> size_untold_notes(const DieOrder& order, const DiePlan& plan) {
  std::vector<std::string> notes;
  for (const bool one : {true, false}) {
    for (const NickTells& untold : {NickTells{true, false}, {false, true}, {true, true}}) {
      std::vector<std::string> dies;
      for (const DieOrderLine& line : order.lines) {
        const PlannedDie& die = plan.dies[line.die];
        if (die.untold == untold && (die.serves.size() == 1) == one)
          dies.push_back(line.number + " " + line.piece + " " + stamped_sizes(line));
      }
      if (dies.empty()) continue;
      const char* has = dies.size() == 1 ? "has" : "have";
      const std::string why =
          one ? fmt::format(
                    "a single size and width and {} no nicks that tell {}, as drawn for another place or "
                    "there already without them",
                    has, untold.words())
              : fmt::format(
                    "sizes and widths of which the same nicks tell {} and {} none of them, as drawn for a "
                    "place that has none or where they would be off by more than the tolerance",
                    untold.words(), has);
      notes.push_back(fmt::format("{} {}: mark {} another way ({})",
                                  counted(dies.size(), "die serves", "dies serve"), why, untold.words(),
                                  named_of(dies, kDieLinesFile)));
    }
  }
  return notes;
}

}  // namespace lastwright
