#include "cli/option_problem.hpp"

#include <string>

namespace lastwright {

Problem in_option(Problem problem, std::string_view option) {
  const bool of_value = problem.trouble == Trouble::kBadValue || problem.trouble == Trouble::kUsage;
  if (!of_value || !problem.place.file.empty()) return problem;
  problem.trouble = Trouble::kUsage;
  problem.message = std::string(option) + ": " + problem.message;
  return problem;
}

Problem without_effect(std::string_view option, std::string_view why) {
  return {Trouble::kUsage, std::string(option) + " would have no effect: " + std::string(why), {}, {}, {}};
}

}  // namespace lastwright
