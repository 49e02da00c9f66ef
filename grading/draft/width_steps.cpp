#include "grading/draft/width_steps.hpp"

#include <fmt/format.h>

#include "grading/sizes/width_gaps.hpp"

namespace lastwright {

namespace {

std::string between(const Ladder& ladder, const WidthGap& gap) {
  std::string labels;
  for (std::size_t i = 0; i < ladder.labels.size(); ++i) {
    const Width one = ladder.at(i);
    if (gap.narrower.position < one.position && one.position < gap.wider.position)
      labels += (labels.empty() ? "" : ", ") + one.label;
  }
  return labels.empty() ? "" : " (between them: " + labels + ")";
}

// Of a measure with breaks or an extra in length no single figure holds for all sizes.
std::string growth(const StyleSpec& style, const WidthGap& gap) {
  std::string text;
  for (const MeasureSpec& one : style.measures) {
    const Fraction step = one.per_width.millimetres;
    if (step == Fraction(0) || !one.breaks.empty() || one.size_steps_per_width != Fraction(0)) continue;
    text += fmt::format("{}{} {:g} mm", text.empty() ? "" : ", ", one.name, (step * gap.steps.count).value());
  }
  return text.empty() ? "" : ", which makes " + text;
}

}  // namespace

std::string width_gaps_told(const Ladder& ladder, const StyleSpec& style) {
  std::vector<Width> widths;
  for (const std::string& label : style.run_widths) {
    if (const Result<Width> width = ladder.width(label)) widths.push_back(*width);
  }
  std::string text;
  for (const WidthGap& gap : width_gaps(std::move(widths)))
    text += fmt::format("{}from width {} to {} {} {} {} of the ladder {}{}{}", text.empty() ? "" : "; ",
                        gap.narrower.label, gap.wider.label, gap.steps.count > Fraction(1) ? "are" : "is",
                        to_mixed(gap.steps.count), gap.steps.count > Fraction(1) ? "steps" : "of a step",
                        style.ladder, between(ladder, gap), growth(style, gap));
  if (text.empty()) return text;
  return text +
         ". What is said of a width (\"per_width\") is for one step of the ladder: state it so, or give a "
         "ladder on which these widths are one step apart";
}

}  // namespace lastwright
