#include "grading/checks/girths/measure_steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>

#include "geometry/middle_value.hpp"
#include "grading/checks/girths/growth_check.hpp"
#include "grading/checks/girths/measure_roles.hpp"
#include "grading/sizes/stated_run.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

// Times that a step may be off the middle one of its like: between a back height and a girth lie two.
constexpr double kOdd = 6.0;
constexpr double kLong = 100.0;  // mm: a strap that goes round something that grows
// A step of something, and what it is a share of.
struct NamedStep {
  std::string subject;
  FindingPlace where;  // to be told
  double step = 0.0;   // mm for each size or width, the mean over the run
  double least = 0.0;  // the smallest from one to the next
  double whole = 1.0;  // mm in the sample
  [[nodiscard]] double share() const { return step / whole; }
};

StyleFinding told(const char* check, const NamedStep& step, const std::string& note) {
  StyleFinding finding = doubtful_finding(check, step.subject, step.step, "mm", note);
  finding.where = step.where;
  return finding;
}

// Compares steps of one kind with each other. Widths make lasts wider, and lengths and heights hardly larger:
// a slow step by width says nothing.
void compare(const char* check, const std::vector<NamedStep>& steps, bool by_size,
             std::vector<StyleFinding>& all) {
  const char* const per = by_size ? "size" : "width";
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const NamedStep& one = steps[i];
    if (one.least < -1e-9) {
      NamedStep falling = one;
      falling.step = one.least;
      all.push_back(
          told(check, falling,
               fmt::format("it falls as the {} grows: check the sign of its step and of its breaks", per)));
      continue;
    }
    std::vector<double> others;
    for (std::size_t k = 0; k < steps.size(); ++k) {
      if (k != i && steps[k].share() > 0.0) others.push_back(steps[k].share());
    }
    if (others.size() < 2 || one.share() <= 0.0) continue;  // 0 is stated as such, see stopped
    const double usual = middle_value(others);
    const bool slow = by_size && one.share() * kOdd <= usual;
    if (one.share() < kOdd * usual && !slow) continue;
    all.push_back(told(check, one,
                       fmt::format("a {} is {:.2f} percent of the base size's {:.1f} mm, where the others "
                                   "grow by {:.2f} percent: check its step and its unit",
                                   per, 100.0 * one.share(), one.whole, 100.0 * usual)));
  }
}

class Steps {
 public:
  Steps(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table)
      : style_(style), grade_(grade), table_(table), roles_(style) {
    sizes_ = stated_sizes(grade.run);
    widths_ = stated_widths(grade.run);
  }

  std::vector<StyleFinding> find() {
    if (sizes_.size() > 1) {
      const std::vector<NamedStep> by_size = measures(true);
      compare("measure step", by_size, true, all_);
      compare("line step", lines(true), true, all_);
      beside_length(by_size, true);
      if (!all_alike(true)) stopped(by_size);
      lengths();
      growth_ = 0.03;  // a size of the English scale in a man's shoe, where no measure tells
      std::vector<double> shares;
      for (const NamedStep& step : by_size) {
        if (step.share() > 0.0) shares.push_back(step.share());
      }
      if (!shares.empty()) growth_ = middle_value(shares);
      points();
    }
    if (widths_.size() > 1) {
      const std::vector<NamedStep> by_width = measures(false);
      compare("measure step", by_width, false, all_);
      compare("line step", lines(false), false, all_);
      beside_length(by_width, false, all_alike(false));
      longer_in_width(by_width);
    }
    breaks();
    return std::move(all_);
  }

 private:
  // The steps of a length that is known in every size and width.
  template <class Length>
  [[nodiscard]] NamedStep step_of(std::string subject, double whole, bool by_size, Length length) const {
    NamedStep step{std::move(subject), {}, 0.0, INFINITY, whole};
    const std::size_t count = by_size ? sizes_.size() : widths_.size();
    const auto at = [&](std::size_t i) {
      return by_size ? SizeWidth{sizes_[i], grade_.run.base.width}
                     : SizeWidth{grade_.run.base.size, widths_[i]};
    };
    const auto place = [&](std::size_t i) {
      return (by_size ? sizes_[i].position : widths_[i].position).value();
    };
    const auto label = [&](std::size_t i) { return by_size ? sizes_[i].label : widths_[i].label; };
    for (std::size_t i = 1; i < count; ++i) {
      const double one = (length(at(i)) - length(at(i - 1))) / (place(i) - place(i - 1));
      if (one >= step.least) continue;
      step.least = one;
      if (one < 0.0) (by_size ? step.where.size : step.where.width) = label(i);
    }
    step.step = (length(at(count - 1)) - length(at(0))) / (place(count - 1) - place(0));
    return step;
  }

  [[nodiscard]] std::vector<NamedStep> measures(bool by_size) const {
    std::vector<NamedStep> steps;
    for (std::size_t m = 0; m < table_.size(); ++m) {
      steps.push_back(step_of(fmt::format("{}, by {}", table_.measures()[m].name, by_size ? "size" : "width"),
                              table_.value(m, grade_.run.base), by_size,
                              [&](const SizeWidth& at) { return table_.value(m, at); }));
    }
    return steps;
  }

  // What measure lines and check lines carry of several measures, beside what they are drawn as.
  [[nodiscard]] std::vector<NamedStep> lines(bool by_size) const {
    std::vector<NamedStep> steps;
    for (const FormeSpec& forme : style_.formes) {
      for (const Rule& rule : forme.rules) {
        const MeasureLine* line = rule_line(rule);
        if (line == nullptr || line->carries.size() < 2) continue;  // of one measure: told with the measure
        const auto carried = [&](const SizeWidth& at) {
          double sum = 0.0;
          for (const auto& [measure, share] : line->carries)
            sum += share.value() * table_.value(*table_.index(measure), at);
          return sum;
        };
        steps.push_back(
            step_of(fmt::format("{}: {}, by {}", forme.name, line->name, by_size ? "size" : "width"),
                    drawn_length(forme, *line), by_size, carried));
      }
    }
    return steps;
  }

  // What shapes the last beside its length: how much of itself a measure grows by in a size or a width, as
  // against what the length grows by in a size. Common practice, over scales and from children to men: girths
  // 0.7 to 1 by size and width, treads and seats 0.6 to 1, heights 0.5 to 0.7 by size. What is across the
  // last and does not grow with the width at all is told too, unless that is told of all measures.
  void beside_length(const std::vector<NamedStep>& steps, bool of_size, bool all_told = false) {
    constexpr double kMost = 1.2, kMostByWidth = 1.6;  // widths are counted more coarsely than sizes
    constexpr double kLeast = 0.45, kLeastGirth = 0.55;
    constexpr double kLeastByWidth = 0.35;  // of what is across the bottom; lengths and heights hardly grow
    constexpr double kLeastStrap = 0.33;
    constexpr double kTall = 0.5;  // of the length: a taller shaft grows by no more than one so tall
    const std::optional<double> length = growth_of_length();
    if (!length) return;
    for (std::size_t m = 0; m < steps.size(); ++m) {
      const NamedStep& one = steps[m];
      const std::string& name = table_.measures()[m].name;
      const bool of_last = roles_.shapes_the_last(name);
      const bool across = of_last && (roles_.is_girth(name) || roles_.across_bottom(name));
      const bool still = std::abs(one.step) <= 1e-9;
      if (one.step < -1e-9 || (still && (of_size || !across || all_told)) || roles_.sets_length(name, true) ||
          has_told("measure step", one.subject))
        continue;
      const bool strap = of_size && !of_last;
      const double ratio = one.share() / *length;
      if (strap && (one.whole < kLong || !roles_.sets_length(name, false))) {
        over_run(one, m, ratio);
        continue;
      }
      double least = of_size ? (roles_.is_girth(name) ? kLeastGirth : kLeast) : 0.0;
      double most = of_size ? kMost : kMostByWidth;
      if (!of_size && across) least = kLeastByWidth;
      if (of_size && !across && one.whole > 0.0)
        least *= std::min(1.0, kTall * table_.base().step.value() / (*length * one.whole));
      if (strap) std::tie(least, most) = std::pair(kLeastStrap, kMostStrap);
      if (ratio >= least && ratio <= most) continue;
      all_.push_back(told(
          "measure step", one,
          fmt::format(
              "a {} is {:.2f} percent of the base size's {:.1f} mm, {:.2f} times the {:.2f} percent that "
              "the length grows by in a size; by common practice it lies between {:g} and {:g} times: "
              "check its step and its unit",
              of_size ? "size" : "width", 100.0 * one.share(), one.whole, ratio, 100.0 * *length, least,
              most)));
    }
  }
  static constexpr double kMostStrap = 3.0;  // times the length: it may take all that a girth grows by
  // A height or a width of a small part, judged by what the whole run makes of it: a slip of the decimal
  // point is too little beside the measure in one size, and the heel of the largest shoe twice that of the
  // smallest.
  void over_run(const NamedStep& one, std::size_t m, double ratio) {
    constexpr double kLeastGrown = 5.0;  // mm; what is narrow is rounded to halves and whole millimetres
    const auto at = [&](const Size& size) { return table_.value(m, {size, grade_.run.base.width}); };
    const double first = at(sizes_.front());
    const double last = at(sizes_.back());
    if (ratio <= kMostStrap || last - first < kLeastGrown) return;
    all_.push_back(
        told("measure step", one,
             fmt::format("is what it grows by in a size, from {:.1f} mm in size {} to {:.1f} mm in size {}: "
                         "{:.2f} times as much of itself as the length grows by, where by common practice "
                         "{:g} times is the most: check its step and its unit",
                         first, sizes_.front().label, last, sizes_.back().label, ratio, kMostStrap)));
  }
  // Of the last, in one size of the scale.
  [[nodiscard]] std::optional<double> growth_of_length() const {
    for (const FormeSpec& forme : style_.formes) {
      const MeasureLine* line = find_line(forme, forme.length_line);
      if (line == nullptr || line->carries.size() != 1 || !of_the_last(style_, forme)) continue;
      const double whole = table_.value(*table_.index(line->carries.front().first), grade_.run.base);
      if (whole > 0.0) return table_.base().step.value() / whole;
    }
    return std::nullopt;
  }
  // Lasts of all widths are as long.
  void longer_in_width(const std::vector<NamedStep>& by_width) {
    for (std::size_t m = 0; m < by_width.size(); ++m) {
      const NamedStep& one = by_width[m];
      if (std::abs(one.step) <= 1e-9 || !roles_.sets_length(table_.measures()[m].name, true) ||
          has_told("measure step", one.subject))
        continue;
      all_.push_back(
          told("measure step", one,
               "is what it changes by in a width, and it sets the length of the last, which by common "
               "practice is the same in all widths: check \"per_width\""));
    }
  }

  // Where a break changes the step of a measure by much: a girth's is changed by a quarter, by common
  // practice.
  void breaks() {
    constexpr double kTimes = 1.6;
    for (std::size_t m = 0; m < table_.size(); ++m) {
      const std::string& name = table_.measures()[m].name;
      const auto spec = std::find_if(style_.measures.begin(), style_.measures.end(),
                                     [&](const MeasureSpec& one) { return one.name == name; });
      if (spec == style_.measures.end() || spec->breaks.empty() || spec->from_scale) continue;
      const auto value = [&](const Size& size, const Width& width) { return table_.value(m, {size, width}); };
      const auto odd = [&](double here, double before) {
        return before > 0.0 && (here > kTimes * before || kTimes * here < before);
      };
      const auto tell = [&](bool by_size, double here, double before, const Size& from) {
        const std::string subject = fmt::format("{}, by {}", name, by_size ? "size" : "width");
        if (has_told("measure step", subject)) return;
        FindingPlace at;
        at.size = from.label;
        all_.push_back(told("measure step", {subject, at, here, here, 1.0},
                            fmt::format("is what a {} adds from this size on, and {:.2f} mm before: check "
                                        "\"breaks\" and their unit",
                                        by_size ? "size" : "width", before)));
      };
      const Width& width = grade_.run.base.width;
      std::optional<double> last;
      std::optional<double> last_width;
      for (std::size_t i = 0; i < sizes_.size(); ++i) {
        if (i > 0) {
          const double step = (value(sizes_[i], width) - value(sizes_[i - 1], width)) /
                              (sizes_[i].position - sizes_[i - 1].position).value();
          if (last && odd(step, *last)) tell(true, step, *last, sizes_[i - 1]);
          last = step;
        }
        if (widths_.size() < 2) continue;
        const double step = (value(sizes_[i], widths_.back()) - value(sizes_[i], widths_.front())) /
                            (widths_.back().position - widths_.front().position).value();
        if (last_width && odd(step, *last_width)) tell(false, step, *last_width, sizes_[i]);
        last_width = step;
      }
    }
  }

  // Sizes, or widths, between which nothing of the last changes: they are one last with several names.
  bool all_alike(bool by_size) {
    const bool drives = std::any_of(table_.measures().begin(), table_.measures().end(),
                                    [&](const Measure& one) { return roles_.drives_the_last(one.name); });
    for (const FormeSpec& forme : style_.formes) {
      for (const Rule& rule : forme.rules) {
        const auto* point = std::get_if<PointRule>(&rule);
        if (point != nullptr && (by_size ? point->per_size : point->per_width) != Vec2{}) return false;
      }
    }
    for (std::size_t m = 0; m < table_.size(); ++m) {
      if (drives && !roles_.drives_the_last(table_.measures()[m].name)) continue;
      for (const Size& size : sizes_) {
        for (const Width& width : widths_) {
          const SizeWidth first =
              by_size ? SizeWidth{sizes_.front(), width} : SizeWidth{size, widths_.front()};
          if (std::abs(table_.value(m, {size, width}) - table_.value(m, first)) > 1e-9) return false;
        }
      }
    }
    const std::size_t count = by_size ? sizes_.size() : widths_.size();
    const auto label = [&](std::size_t i) { return by_size ? sizes_[i].label : widths_[i].label; };
    all_.push_back(doubtful_finding(
        "measure step", by_size ? "all measures, by size" : "all measures, by width",
        static_cast<double>(count), by_size ? "sizes" : "widths",
        fmt::format(
            "of the run, {} to {}, are one last: every measure that shapes it has the same value in all of "
            "them. Check \"{}\", or make one {}",
            label(0), label(count - 1), by_size ? "per_size" : "per_width", by_size ? "size" : "width")));
    return true;
  }

  // Measures of the last that stay as they are from size to size, where others grow.
  void stopped(const std::vector<NamedStep>& by_size) {
    constexpr double kNarrow = 30.0;  // mm: straps and tabs keep their width
    const auto growing =
        std::count_if(by_size.begin(), by_size.end(), [](const NamedStep& one) { return one.step > 1e-9; });
    if (growing == 0) return;
    for (std::size_t m = 0; m < by_size.size(); ++m) {
      const NamedStep& one = by_size[m];
      const std::string& name = table_.measures()[m].name;
      const bool of_last = roles_.drives_the_last(name);
      if (std::abs(one.step) > 1e-9 || one.least < -1e-9 || one.whole < (of_last ? kNarrow : kLong) ||
          (!of_last && !roles_.sets_length(name, false)))
        continue;
      all_.push_back(told(
          "measure step", one,
          fmt::format("it is {:.1f} mm in every size, and {} other{} the last, {}: check \"per_size\"",
                      one.whole, growing, growing == 1 ? " grows with" : "s grow with",
                      of_last ? "which this one shapes too" : "and this one sets the length of a forme")));
    }
  }

  // What sets the length of a forme of the last, beside the scale that the sizes are counted on.
  void lengths() {
    constexpr double kSameStep = 0.05;  // mm a size: what is written of a third of an inch, or of 20/3 mm
    const double scale = table_.base().step.value();
    for (const FormeSpec& forme : style_.formes) {
      const MeasureLine* line = find_line(forme, forme.length_line);
      if (line == nullptr || line->carries.size() != 1 || line->carries.front().second != Fraction(1) ||
          !of_the_last(style_, forme))
        continue;
      const std::size_t m = *table_.index(line->carries.front().first);
      NamedStep worst{table_.measures()[m].name, {}, scale, 0.0};
      for (std::size_t i = 1; i < sizes_.size(); ++i) {
        const auto length = [&](std::size_t k) {
          return table_.value(m, {sizes_[k], grade_.run.base.width});
        };
        const double step =
            (length(i) - length(i - 1)) / (sizes_[i].position - sizes_[i - 1].position).value();
        if (std::abs(step - scale) <= std::abs(worst.step - scale) + 1e-9) continue;
        worst.step = step;
        worst.where.size = i == 1 ? "" : sizes_[i].label;
      }
      if (std::abs(worst.step - scale) <= kSameStep || has_told("length step", worst.subject)) continue;
      all_.push_back(
          told("length step", worst,
               fmt::format("is what it grows by in a size, and a size of the scale {} is {:.3f} mm: "
                           "it sets the length of {}; check \"per_size\", or state \"from_scale\"",
                           style_.scale, scale, forme.name)));
    }
  }
  [[nodiscard]] bool has_told(const char* check, const std::string& subject) const {
    return std::any_of(all_.begin(), all_.end(),
                       [&](const StyleFinding& one) { return one.check == check && one.subject == subject; });
  }

  // A point that is moved by hand, beside what growing in proportion would move it.
  void points() {
    for (const FormeSpec& forme : style_.formes) {
      const Vec2 along = base_direction(forme);
      for (const Rule& rule : forme.rules) {
        const auto* point = std::get_if<PointRule>(&rule);
        if (point == nullptr) continue;
        const Vec2 from_fixed = drawn_place(forme, point->point) - drawn_place(forme, forme.fixed_point);
        const Vec2 move = point->per_size.x * along + point->per_size.y * left_of(along);
        const double usual = growth_ * norm(from_fixed);
        NamedStep step{forme.name + ": " + point->point, {}, norm(move), 0.0, 1.0};
        constexpr double kSmall = 0.5;  // mm; less is a correction of its own
        if (norm(move) > kOdd * usual + kSmall) {
          all_.push_back(told("point step", step,
                              fmt::format("a size moves the point this far, where growing in proportion "
                                          "moves it by {:.2f} mm: check per_size",
                                          usual)));
        } else if (norm(move) > kSmall && dot(move, from_fixed) < -0.5 * norm(move) * norm(from_fixed)) {
          all_.push_back(told("point step", step,
                              "a size moves the point this far towards the fixed point, which makes the "
                              "piece smaller: check the sign of per_size"));
        }
      }
    }
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  const MeasureTable& table_;
  MeasureRoles roles_;
  std::vector<Size> sizes_;
  std::vector<Width> widths_;
  double growth_ = 0.0;
  std::vector<StyleFinding> all_;
};

}  // namespace

std::vector<StyleFinding> odd_steps(const StyleSpec& style, const StyleGrade& grade,
                                    const MeasureTable& table) {
  return Steps(style, grade, table).find();
}

}  // namespace lastwright
