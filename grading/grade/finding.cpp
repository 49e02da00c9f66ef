#include "grading/grade/finding.hpp"

namespace lastwright {

StyleFinding doubtful_finding(std::string check, std::string subject, double worst, std::string unit,
                              std::string note) {
  StyleFinding finding{std::move(check), std::move(subject), worst, {}, std::move(unit), {}, true,
                       std::move(note)};
  finding.doubtful = true;
  return finding;
}

}  // namespace lastwright
