#include "grading/checks/lasting/feet_told.hpp"

#include <fmt/format.h>

namespace lastwright {

std::vector<std::string> feet_told(const std::string& style, const std::vector<StyleFinding>& findings) {
  std::vector<std::string> lines;
  for (const StyleFinding& one : findings) {
    const bool of_feet = one.check == "drawn foot" || one.check == "seam feet" || one.check == "sole hand";
    if (of_feet && one.passed && one.doubtful)
      lines.push_back(fmt::format("LOOK: {}: {}, {}: {}", style, one.check, one.subject, one.note));
  }
  return lines;
}

}  // namespace lastwright
