#include "grading/measures/printed_comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace lastwright {
namespace {

Problem comparison_refused(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

bool is_near(Fraction low, Fraction value, Fraction high) {
  return low <= value && value <= high;
}

// What every kind of table shares: whether it can be compared, in which widths, and what is told.
template <class Other>
class Comparison {
 public:
  Comparison(const ComparedStyle& style, const Other& other, const Scale& there,
             const ComparisonOptions& options)
      : style_(style), other_(other), there_(there), options_(options) {
    made_.title = other.title;
    made_.source = other.source;
    fallback_ = options.width.value_or(style.table.base().at.width);
    for (const Allowance& one : options.allowances) {
      if (!style.table.index(one.name)) length_ = length_ + one.amount.millimetres;
    }
  }

  [[nodiscard]] bool of_foot() const { return other_.of == Sizes::kFoot; }

  [[nodiscard]] Status comparable() const {
    if (Status sound = check_allowances(options_.allowances); !sound) return sound.problem();
    const auto of_length = [&](const Allowance& one) { return !style_.table.index(one.name); };
    const bool lengths = std::any_of(options_.allowances.begin(), options_.allowances.end(), of_length);
    if (of_foot() && !lengths) {
      return comparison_refused(
          fmt::format("\"{}\" is a table of the foot: a last is compared with it only through named "
                      "allowances, one of the length and one for each measure: --allowance \"toe 20 "
                      "mm\" --allowance \"ball girth -5 mm; works practice\"",
                      other_.key));
    }
    if (!of_foot() && !options_.allowances.empty())
      return comparison_refused(
          fmt::format("\"{}\" is a table of lasts: there is no allowance between them", other_.key));
    if (!of_foot() && other_.scale != style_.scale.key) {
      return comparison_refused(fmt::format("\"{}\" goes by the scale \"{}\" and the style by \"{}\"",
                                            other_.key, other_.scale, style_.scale.key));
    }
    if (!other_.ladder.empty() && !own_widths() && !options_.there) {
      return comparison_refused(
          fmt::format("\"{}\" has the widths of the ladder \"{}\" and the style those of \"{}\": say "
                      "which of them stands beside {}, with --their-width",
                      other_.key, other_.ladder, style_.ladder, fallback_.label));
    }
    return Done{};
  }

  [[nodiscard]] bool own_widths() const { return !other_.ladder.empty() && other_.ladder == style_.ladder; }
  [[nodiscard]] const Width& fallback() const { return fallback_; }
  void met_in_one_width() { in_width_ = fallback_.label; }

  // The style's measure of that name, if it is to be compared.
  std::optional<std::size_t> measure_of(const std::string& name) {
    const auto measure = style_.table.index(name);
    if (!measure) {
      unknown_.insert(fmt::format("the style has no measure \"{}\": not compared", name));
    } else if (of_foot() && !added(name)) {
      unknown_.insert(fmt::format("no allowance is named for the {}: not compared", name));
      return std::nullopt;
    }
    return measure;
  }
  [[nodiscard]] std::optional<Fraction> added(const std::string& measure) const {
    for (const Allowance& one : options_.allowances) {
      if (one.name == measure) return one.amount.millimetres;
    }
    return of_foot() ? std::nullopt : std::optional<Fraction>(0);
  }

  // Where on the scale there the foot is that a last of the style's size is for, and the other way round.
  [[nodiscard]] Fraction position_there(const Size& size) const {
    return (style_.scale.length(size) - length_ - there_.zero_length) / there_.step;
  }
  [[nodiscard]] Fraction position_here(const Size& foot) const {
    return (there_.length(foot) + length_ - style_.scale.zero_length) / style_.scale.step;
  }
  [[nodiscard]] bool made_there(Fraction position) const {
    const ScaleRun& last = there_.runs.back();
    return is_near(there_.runs.front().first_position, position,
                   last.first_position + (last.last_label - last.first_label) / last.label_step);
  }

  void add(CellDifference cell) {
    cell.ours = style_.table.value(cell.measure, cell.at);
    cell.difference = cell.ours - cell.theirs;
    made_.cells.push_back(std::move(cell));
  }

  Result<TableComparison> finished() && {
    if (made_.cells.empty())
      return comparison_refused(fmt::format("\"{}\" shares no measure and size with the style's run{}",
                                            made_.title, unknown_.empty() ? "" : "; " + *unknown_.begin()));
    made_.notes.assign(unknown_.begin(), unknown_.end());
    if (!in_width_.empty())
      made_.notes.push_back(
          fmt::format("that table names no width of the style's ladder: compared with width {}", in_width_));
    for (const Allowance& one : options_.allowances) {
      made_.notes.push_back(
          fmt::format("allowance {}: {} added to the foot's {} ({})", one.name, one.amount.written,
                      style_.table.index(one.name) ? one.name : std::string("length"),
                      one.source.empty() ? "given by the user, no source named" : one.source));
    }
    return std::move(made_);
  }

 private:
  const ComparedStyle& style_;
  const Other& other_;
  const Scale& there_;
  const ComparisonOptions& options_;
  TableComparison made_;
  Fraction length_;  // that a last is longer than its foot
  Width fallback_;
  std::set<std::string> unknown_;
  std::string in_width_;
};

bool in_run(const SizeRun& run, const SizeWidth& at) {
  const auto width = [&](const Width& one) { return one.position == at.width.position; };
  return is_near(run.sizes.front().position, at.size.position, run.sizes.back().position) &&
         std::any_of(run.widths.begin(), run.widths.end(), width);
}

// "~8.5": between sizes, the nearest of the run.
std::string nearest_label(const SizeRun& run, Fraction position) {
  const auto gap = [&](const Size& one) {
    return one.position < position ? position - one.position : one.position - position;
  };
  const Size& best = *std::min_element(run.sizes.begin(), run.sizes.end(),
                                       [&](const Size& a, const Size& b) { return gap(a) < gap(b); });
  return (best.position == position ? "" : "~") + best.label;
}

std::string foot_label(const std::string& size, const std::string& width) {
  return "foot " + size + (width.empty() ? "" : " " + width);
}

}  // namespace

Result<TableComparison> compare(const ComparedStyle& style, const PrintedTable& printed, const Scale& there,
                                const ComparisonOptions& options) {
  Comparison<PrintedTable> comparison(style, printed, there, options);
  if (const Status status = comparison.comparable(); !status) return status.problem();
  for (const PrintedCell& cell : printed.cells) {
    // Of a ladder that is not the style's, one width is laid beside one of the style's.
    if (cell.width && !comparison.own_widths() && options.there &&
        cell.width->position != options.there->position)
      continue;
    const auto measure = comparison.measure_of(cell.measure);
    if (!measure) continue;
    const bool own_width = cell.width && comparison.own_widths();
    SizeWidth at{cell.size, own_width ? *cell.width : comparison.fallback()};
    if (comparison.of_foot()) {
      at.size.position = comparison.position_here(cell.size);
      at.size.label = nearest_label(style.run, at.size.position);
    } else if (!style.run.makes(at)) {
      continue;
    }
    if (!in_run(style.run, at)) continue;
    if (!own_width) comparison.met_in_one_width();
    const double theirs = (cell.millimetres + *comparison.added(cell.measure)).value();
    comparison.add({*measure, at, cell.printed + " " + printed.unit, theirs, 0.0, 0.0,
                    cell.half_digit.value(), cell.not_evidence,
                    comparison.of_foot()
                        ? foot_label(cell.size.label, cell.width ? cell.width->label : std::string())
                        : std::string()});
  }
  return std::move(comparison).finished();
}

Result<TableComparison> compare(const ComparedStyle& style, const RuledTable& ruled, const Scale& there,
                                const ComparisonOptions& options) {
  Comparison<RuledTable> comparison(style, ruled, there, options);
  if (const Status status = comparison.comparable(); !status) return status.problem();
  const bool own_widths = comparison.own_widths();
  const bool foot = comparison.of_foot();
  // A table of one width stands at its own base width, whatever the style calls it.
  const Width other_width = options.there.value_or(ruled.table.base().at.width);
  for (std::size_t i = 0; i < ruled.table.size(); ++i) {
    const std::string& name = ruled.table.measures()[i].name;
    const auto measure = comparison.measure_of(name);
    if (!measure) continue;
    for (const SizeWidth& at : style.run.cells()) {
      if (!own_widths && at.width.position != comparison.fallback().position) continue;
      SizeWidth other{at.size, own_widths ? at.width : other_width};
      if (foot) {
        other.size.position = comparison.position_there(at.size);
        if (!comparison.made_there(other.size.position)) continue;
        other.size.label = to_places(there.length(other.size), 1) + " mm";
      }
      if (!own_widths) comparison.met_in_one_width();
      const Fraction theirs = ruled.table.exact(i, other) + *comparison.added(name);
      const bool beyond = ruled.carried_on(i, other.size.position) || there.carried_on(other.size);
      comparison.add({*measure, at, "", theirs.value(), 0.0, 0.0, 0.0,
                      beyond ? "carried on beyond what is printed" : "",
                      foot ? foot_label(other.size.label, other.width.label) : std::string()});
    }
  }
  return std::move(comparison).finished();
}

}  // namespace lastwright
