#include "grading/checks/girths/width_step_check.hpp"

#include <fmt/format.h>

#include <string>

#include "grading/measures/measure_table.hpp"
#include "grading/sizes/stated_run.hpp"
#include "grading/sizes/width_gaps.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

std::vector<StyleFinding> width_steps_left_out(const StyleSpec& style, const StyleGrade& grade,
                                               const MeasureTable& table) {
  const std::vector<Width>& widths = stated_widths(grade.run);
  std::vector<std::string> labels;
  for (const Width& one : widths) labels.push_back(one.label);
  const std::vector<WidthGap> gaps = width_gaps(widths);
  if (gaps.empty() || !whole_in_a_row(labels)) return {};
  const WidthGap& gap = gaps.front();
  std::string grown;
  for (std::size_t m = 0; m < table.size(); ++m) {
    const auto at = [&](const Width& width) { return table.exact(m, {grade.run.base.size, width}); };
    const Fraction more = at(gap.wider) - at(gap.narrower);
    if (more != Fraction(0))
      grown +=
          fmt::format("{}{} by {:g} mm", grown.empty() ? "" : ", ", table.measures()[m].name, more.value());
  }
  std::string note =
      fmt::format("of the ladder {} lie from width {} to {}, and \"per_width\" is for one step", style.ladder,
                  gap.narrower.label, gap.wider.label);
  if (!grown.empty()) note += fmt::format(": in size {} it changes {}", grade.run.base.size.label, grown);
  return {doubtful_finding(
      "measure step", "all measures, from width to width", gap.steps.count.value(), "steps",
      note + ". Check \"per_width\", or take a ladder on which these widths are one step apart")};
}

}  // namespace lastwright
