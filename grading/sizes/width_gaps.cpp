#include "grading/sizes/width_gaps.hpp"

#include <algorithm>

namespace lastwright {

std::vector<WidthGap> width_gaps(std::vector<Width> widths) {
  std::sort(widths.begin(), widths.end(),
            [](const Width& a, const Width& b) { return a.position < b.position; });
  std::vector<WidthGap> gaps;
  for (std::size_t i = 1; i < widths.size(); ++i) {
    const WidthSteps steps = widths[i] - widths[i - 1];
    if (steps.count != Fraction(1) && steps.count != Fraction(0))
      gaps.push_back({widths[i - 1], widths[i], steps});
  }
  return gaps;
}

bool whole_in_a_row(const std::vector<std::string>& labels) {
  std::vector<Fraction> numbers;
  for (const std::string& label : labels) {
    const Result<Fraction> number = parse_fraction(label);
    if (!number || number->denominator() != 1) return false;
    numbers.push_back(*number);
  }
  std::sort(numbers.begin(), numbers.end());
  const auto apart = std::adjacent_find(numbers.begin(), numbers.end(),
                                        [](Fraction a, Fraction b) { return b != a + Fraction(1); });
  return numbers.size() > 1 && apart == numbers.end();
}

}  // namespace lastwright
