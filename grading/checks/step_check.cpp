#include "grading/checks/allowances/allowance_check.hpp"
#include "grading/checks/girths/measure_steps.hpp"
#include "grading/checks/girths/width_step_check.hpp"
#include "grading/checks/limit_check.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

std::vector<StyleFinding> check_steps(const StyleSpec& style, const StyleGrade& grade,
                                      const MeasureTable& table) {
  std::vector<StyleFinding> all = odd_steps(style, grade, table);
  for (const auto& more : {width_steps_left_out(style, grade, table),
                           odd_allowances(grade, style.widest_allowance), loose_limits(style)})
    all.insert(all.end(), more.begin(), more.end());
  return all;
}

}  // namespace lastwright
