#include "grading/planning/works_figures.hpp"

#include <fmt/format.h>

#include "grading/json/json_text.hpp"

namespace lastwright {

std::vector<Problem> impossible_figures(const WorksSpec& works) {
  constexpr double kLeastUsed = 0.2;  // of the scale area: pieces that filled less of their lattice are none
  constexpr double kMostUsed = 20.0;  // of the scale area: nineteen parts in twenty would be waste
  std::vector<Problem> problems;
  for (const auto& [name, material] : works.materials) {
    const std::string at = pointer_to("/materials", name);
    for (std::size_t i = 0; i < material.past.size(); ++i) {
      const PastUse& lot = material.past[i];
      const double share = lot.used / lot.scale;
      if (share >= kLeastUsed && share <= kMostUsed) continue;
      Problem problem = bad_value(
          fmt::format("a lot cannot have used {:g} dm2 for pieces of {:g} dm2 scale area: is one of them of "
                      "another unit?",
                      lot.used / 1e4, lot.scale / 1e4));
      problem.place = {works.file, 0, pointer_to(pointer_to(at, "past"), i), {}};
      problem.value = share;
      problem.limit = share < kLeastUsed ? kLeastUsed : kMostUsed;
      problems.push_back(std::move(problem));
    }
  }
  return problems;
}

}  // namespace lastwright
