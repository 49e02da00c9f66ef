#include "cli/compare_option.hpp"

#include "cli/option_problem.hpp"

namespace lastwright {

Option* add_comparison(Command* command, ComparisonWords& words) {
  Option* against = command->add_option(
      "--against", words.against,
      "list the differences from a printed table or a table of measures, by KEY (see sizes --list)");
  command
      ->add_option(
          "--width", words.width,
          "width that a table without widths of this ladder is compared with; the base width unless given")
      ->needs(against);
  command->add_option("--their-width", words.their_width, "width of that table, where its ladder is another")
      ->needs(against);
  command
      ->add_option("--allowance", words.allowances,
                   "for a table of the foot, what the last is longer or fuller by, named: \"toe 20 mm; works "
                   "practice\" of the length, \"ball girth -5 mm\" of a measure; may be repeated")
      ->needs(against);
  return against;
}

Result<TableComparison> compared(const LoadedStyle& style, const ComparisonWords& words) {
  if (!words.width.empty()) {
    const Result<Width> found = in_option(style.ladder.width(words.width), "--width");
    if (!found) return found.problem();
  }
  StatedComparison stated{words.against, words.width, words.their_width, {}};
  for (const std::string& text : words.allowances) {
    Result<Allowance> allowance = in_option(parse_allowance(text), "--allowance");
    if (!allowance) return allowance.problem();
    stated.allowances.push_back(*std::move(allowance));
  }
  return in_option(compare_style(style, stated), "--against");
}

}  // namespace lastwright
