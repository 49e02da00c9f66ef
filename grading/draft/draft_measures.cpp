#include "grading/draft/draft_measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "grading/draft/forme_rules.hpp"

namespace lastwright {

namespace {

constexpr double kToldExtra = 0.015;  // of the base: less is the difference of a tape and a line on paper
constexpr double kStickExtra = 0.04;  // a stick may be drawn with the toe beyond the size
constexpr double kSizeExtra = 0.95;   // of a size; a whole one is another size (grading/checks/girths/base_check)
// Of the base; what is farther off is another size, another shoe or a mistake, and no extra is stated for it:
// the check of the base then fails (grading/checks/girths/base_check has the same limits).
constexpr double kMostLonger = 0.08;
constexpr double kMostShorter = 0.05;
constexpr double kLeastOwnOff = 3.0;  // mm: short lines are drawn no finer
constexpr double kToldOwn = 0.05;     // mm: of a line whose length is its own, less is a rounding

MeasureLine* line_of(Rule& rule) {
  if (auto* line = std::get_if<MeasureLine>(&rule)) return line;
  if (auto* check = std::get_if<CheckLine>(&rule)) return &check->line;
  return nullptr;
}

class MeasureFiller {
 public:
  MeasureFiller(const DraftBasis& basis, const FilledBasis& filled, const ShoeKind& kind,
                const std::vector<DraftForme>& formes, StyleSpec& style, std::vector<Proposed>& proposed)
      : basis_(basis), filled_(filled), kind_(kind), formes_(formes), style_(style), proposed_(proposed) {}

  void run() {
    if (basis_.given) style_.measures = basis_.given->measures;
    if (!has("stick length")) {
      MeasureSpec stick;
      stick.name = "stick length";
      stick.from_scale = true;
      style_.measures.push_back(std::move(stick));
    }
    girths();
    parts_over_the_upper();
    for (const std::string& name : carried()) {
      if (!has(name)) add(name);
    }
    take_off_unknown();
    fit_shares();
    extras();
    std::erase_if(style_.girths, [&](const GirthSpec& girth) { return !has(girth.measure); });
  }

 private:
  [[nodiscard]] bool has(const std::string& name) const {
    return std::any_of(style_.measures.begin(), style_.measures.end(),
                       [&](const MeasureSpec& one) { return one.name == name; });
  }
  [[nodiscard]] std::set<std::string> carried() {
    std::set<std::string> names;
    each_line([&](FormeSpec&, MeasureLine& line) {
      for (const auto& [measure, share] : line.carries) names.insert(measure);
    });
    return names;
  }
  template <class Work>
  void each_line(const Work& work) {
    for (FormeSpec& forme : style_.formes) {
      for (Rule& rule : forme.rules) {
        if (MeasureLine* line = line_of(rule)) work(forme, *line);
      }
    }
  }
  static double drawn(const FormeSpec& forme, const MeasureLine& line) {
    const auto at = [&](const std::string& name) {
      const auto found = std::find_if(forme.points.begin(), forme.points.end(),
                                      [&](const NamedPoint& one) { return one.name == name; });
      return found == forme.points.end() ? Vec2{} : found->at;
    };
    return distance(at(line.from), at(line.to));
  }

  // A girth runs over the first forme of each part; without one of them it is not stated.
  void girths() {
    for (const auto& [measure, parts] : kind_.girths) {
      GirthSpec girth{measure, {}};
      for (const KindGirthPart& part : parts) {
        for (std::size_t i = 0; i < formes_.size(); ++i) {
          if (formes_[i].kind != part.forme || !has_line(style_.formes[i], part.line)) continue;
          girth.parts.push_back({formes_[i].name, part.line, part.times});
          break;
        }
      }
      if (girth.parts.size() != parts.size()) continue;
      proposed_.push_back({Sureness::kGuess,
                           fmt::format("the {} runs over {} lines of the formes", measure, parts.size()),
                           "/girths/" + measure});
      style_.girths.push_back(std::move(girth));
    }
  }
  static bool has_line(FormeSpec& forme, const std::string& name) {
    return std::any_of(forme.rules.begin(), forme.rules.end(), [&](Rule& rule) {
      const MeasureLine* line = line_of(rule);
      return line != nullptr && line->name == name;
    });
  }

  // What is drawn: over the girth's lines, else by the line that carries the whole of it, else by a share.
  [[nodiscard]] std::optional<double> drawn_base(const std::string& measure) {
    for (const GirthSpec& girth : style_.girths) {
      if (girth.measure != measure) continue;
      double sum = 0.0;
      each_line([&](FormeSpec& forme, MeasureLine& line) {
        for (const GirthPart& part : girth.parts) {
          if (part.forme == forme.name && part.line == line.name)
            sum += part.times.value() * drawn(forme, line);
        }
      });
      return sum;
    }
    std::optional<double> base;
    bool whole = false;
    each_line([&](FormeSpec& forme, MeasureLine& line) {
      for (const auto& [name, share] : line.carries) {
        const bool alone = line.carries.size() == 1;
        if (own_length(line.name)) continue;
        if (name != measure || whole || share <= Fraction(0) || (!alone && base)) continue;
        base = drawn(forme, line) / share.value();
        whole = alone && share == Fraction(1);
      }
    });
    return base;
  }

  [[nodiscard]] const KindMeasure* steps_of(const std::string& name) const {
    if (const auto part = over_the_upper_.find(name); part != over_the_upper_.end()) return &part->second;
    const KindMeasure* steps = nullptr;
    for (const auto& [pattern, measure] : kind_.measures) {
      if (pattern == name || (pattern.starts_with("{piece}") && name.ends_with(pattern.substr(7))))
        steps = &measure;
    }
    return steps;
  }

  // Where no bottom shows the tread, a line that carries a part of a girth less a part of the tread shows no
  // whole girth: what it shows is a measure of its own, which is not to be taken for the girth.
  void parts_over_the_upper() {
    if (has("tread") || carries_whole("tread")) return;
    each_line([&](FormeSpec& forme, MeasureLine& line) {
      if (line.carries.size() != 2) return;
      const std::size_t t = line.carries.front().first == "tread" ? 0 : 1;
      const auto [tread, less] = line.carries[t];
      const auto [girth, share] = line.carries[1 - t];
      const KindMeasure* whole = steps_of(girth);
      const KindMeasure* under = steps_of(tread);
      if (tread != "tread" || !(less < Fraction(0)) || !(Fraction(0) < share) || has(girth)) return;
      if (whole == nullptr || under == nullptr) return;
      const Fraction part = less / share;
      const std::string name = girth + " over the upper";
      over_the_upper_.try_emplace(
          name,
          KindMeasure{whole->per_size + part * under->per_size, whole->per_width + part * under->per_width,
                      whole->source + ", less what the tread grows by: " + under->source});
      line.carries = {{name, share}};
      proposed_.push_back(
          {Sureness::kGuess,
           fmt::format(
               "{}: no bottom is drawn, so nothing shows the {}. The line {} carries what of it lies over "
               "the upper, as a measure of its own; give the {} and the tread with --measures, or "
               "draw the bottom",
               forme.name, girth, line.name, girth),
           "/formes/" + forme.name});
    });
  }

  void add(const std::string& name) {
    const KindMeasure* const steps = steps_of(name);
    const std::optional<double> base = drawn_base(name);
    if (steps == nullptr || !base) return;
    if (name == "tread" && !carries_whole(name)) return;  // no bottom shows it
    MeasureSpec spec;
    spec.name = name;
    spec.base = millimetres(Fraction(std::llround(*base * 100.0), 100));
    spec.per_size = in_the_scale(steps->per_size * filled_.step);
    spec.per_width = in_the_scale(steps->per_width * filled_.step);
    // A short part would vanish in small sizes by steps that are meant for a whole one.
    constexpr double kLeastSteps = 8.0;
    if (*base < kLeastSteps * spec.per_size.millimetres.value()) {
      spec.law = Law::kProportional;
      spec.per_width = millimetres(0);
    }
    spec.source = {"to be confirmed: base as drawn; " + steps->source, "", Provenance::kCommonPractice};
    proposed_.push_back(
        {Sureness::kGuess,
         spec.law == Law::kProportional
             ? fmt::format("{} is {} in the base size as drawn and grows in proportion to the length", name,
                           spec.base.written)
             : fmt::format("{} is {} in the base size as drawn, {} a size and {} a width: {}", name,
                           spec.base.written, spec.per_size.written, spec.per_width.written, steps->source),
         "/measures/" + name});
    style_.measures.push_back(std::move(spec));
  }
  [[nodiscard]] bool carries_whole(const std::string& name) {
    bool whole = false;
    each_line([&](FormeSpec&, MeasureLine& line) {
      whole = whole || (line.carries.size() == 1 && line.carries.front() == std::pair{name, Fraction(1)});
    });
    return whole;
  }
  // In inches where the step of the scale is a part of one.
  [[nodiscard]] static Quantity in_the_scale(Fraction millimetres_exact) {
    const Fraction inches = millimetres_exact / Fraction(127, 5);
    if (inches != Fraction(0) && inches.denominator() <= 64)
      return {millimetres_exact, to_mixed(inches) + " in"};
    return millimetres(millimetres_exact);
  }

  // What is left of what a line carried is all that it grows by: then by as much as it is drawn of it.
  void fit_share(const FormeSpec& forme, MeasureLine& line) {
    const bool summed = std::any_of(style_.girths.begin(), style_.girths.end(), [&](const GirthSpec& girth) {
      return std::any_of(girth.parts.begin(), girth.parts.end(), [&](const GirthPart& part) {
        return part.forme == forme.name && part.line == line.name;
      });
    });
    auto& [name, share] = line.carries.front();
    const auto measure =
        std::find_if(style_.measures.begin(), style_.measures.end(),
                     [&, &carried = name](const MeasureSpec& one) { return one.name == carried; });
    if (summed || measure == style_.measures.end()) return;
    const double base = measure->from_scale ? filled_.stick : measure->base.millimetres.value();
    if (base > 0.0) share = drawn_share(drawn(forme, line), base);
  }

  // A line that carries as much of a measure as is drawn, now that the base of that is known.
  void fit_shares() {
    std::set<std::pair<std::string, std::string>> fitted{{"girth", "ball girth"}};  // line and measure
    const auto take = [&](const std::vector<KindLine>& lines) {
      for (const KindLine& line : lines) {
        if (!line.share_of.empty()) fitted.emplace(line.name, line.share_of);
      }
    };
    take(kind_.lines);
    for (const KindOwn& own : kind_.own) take(own.lines);
    each_line([&](FormeSpec& forme, MeasureLine& line) {
      if (line.carries.size() == 1 && fitted.contains({line.name, line.carries.front().first}))
        fit_share(forme, line);
    });
  }

  void take_off_unknown() {
    for (FormeSpec& forme : style_.formes) {
      std::vector<std::string> gone;
      for (Rule& rule : forme.rules) {
        MeasureLine* line = line_of(rule);
        if (line == nullptr) continue;
        const std::size_t less = std::erase_if(line->carries, [&](const auto& one) {
          if (has(one.first)) return false;
          proposed_.push_back({Sureness::kGuess,
                               fmt::format("{}: the line {} carries nothing of {}, for which there is no "
                                           "figure: give one with --measures",
                                           forme.name, line->name, one.first),
                               "/formes/" + forme.name});
          return true;
        });
        if (line->carries.empty()) gone.push_back(line->name);
        if (less > 0 && line->carries.size() == 1) fit_share(forme, *line);
      }
      std::erase_if(forme.rules, [&](Rule& rule) {
        const MeasureLine* line = line_of(rule);
        return line != nullptr && line->carries.empty() && line->name != forme.girth_line &&
               line->name != forme.length_line;
      });
      for (Rule& rule : forme.rules) {  // what the grade stands on has to carry something
        MeasureLine* line = line_of(rule);
        if (line != nullptr && line->carries.empty())
          line->carries.emplace_back("stick length", drawn_share(drawn(forme, *line), filled_.stick));
      }
      for (const std::string& name : gone) {
        std::erase_if(style_.girths, [&](const GirthSpec& girth) {
          return std::any_of(girth.parts.begin(), girth.parts.end(), [&](const GirthPart& part) {
            return part.forme == forme.name && part.line == name;
          });
        });
      }
    }
  }

  [[nodiscard]] bool of_a_girth(const FormeSpec& forme, const MeasureLine& line) const {
    return std::any_of(style_.girths.begin(), style_.girths.end(), [&](const GirthSpec& girth) {
      return std::any_of(girth.parts.begin(), girth.parts.end(), [&](const GirthPart& part) {
        return part.forme == forme.name && part.line == line.name;
      });
    });
  }
  [[nodiscard]] const MeasureSpec& measure(const std::string& name) const {
    return *std::find_if(style_.measures.begin(), style_.measures.end(),
                         [&](const MeasureSpec& one) { return one.name == name; });
  }

  // A line of the kind that is as long as it is drawn, whatever it carries.
  [[nodiscard]] bool own_length(const std::string& name) const {
    return std::any_of(kind_.lines.begin(), kind_.lines.end(),
                       [&](const KindLine& line) { return line.name == name && line.own_length; });
  }

  // What pieces put round the last is compared with a girth
  // to a tenth of a millimetre, so its lines tell more.
  void extras() {
    each_line([&](FormeSpec& forme, MeasureLine& line) {
      const bool girth = of_a_girth(forme, line);
      const bool whole = line.carries.size() == 1 && line.carries.front().second == Fraction(1);
      if (!girth && !whole) return;
      double base = 0.0;
      bool scale = false;
      std::string carried;
      for (const auto& [name, share] : line.carries) {
        const MeasureSpec& one = measure(name);
        base += share.value() * (one.from_scale ? filled_.stick : one.base.millimetres.value());
        scale = scale || one.from_scale;
        carried += (carried.empty() ? "" : " and ") + name;
      }
      const double step = filled_.step.value();
      const double more = drawn(forme, line) - base;
      if (own_length(line.name)) {
        if (std::abs(more) > kToldOwn) line.extra = Millimetres(std::round(more * 100.0) / 100.0);
        return;
      }
      const double told =
          girth ? 0.02
                : std::max(1.0, scale ? std::min(kStickExtra * base, kSizeExtra * step) : kToldExtra * base);
      if (std::abs(more) <= told) return;
      const double most = std::max(kLeastOwnOff, (more > 0.0 ? kMostLonger : kMostShorter) * base);
      if (std::abs(more) > most) {
        proposed_.push_back(
            {Sureness::kGuess,
             fmt::format("{}: the line {} is drawn {:.2f} mm long, and what it carries of {} is {:.2f} mm in "
                         "the base size: {:.2f} mm {} is more than may be its own ({:.2f} mm), so no extra "
                         "is stated. Is the {} right?",
                         forme.name, line.name, drawn(forme, line), carried, base, std::abs(more),
                         more > 0 ? "longer" : "shorter", most, scale ? "base size" : "figure"),
             "/formes/" + forme.name});
        return;
      }
      line.extra = Millimetres(std::round(more * 100.0) / 100.0);
      proposed_.push_back(
          {Sureness::kGuess,
           fmt::format("{}: the line {} is drawn {:.2f} mm{} {} than what it carries of {} in the base size, "
                       "which is stated as its extra. Check the figure, its points and the size",
                       forme.name, line.name, std::abs(more),
                       scale && whole ? fmt::format(", {:.1f} sizes,", std::abs(more) / step) : "",
                       more > 0 ? "longer" : "shorter", carried),
           "/formes/" + forme.name});
    });
  }

  const DraftBasis& basis_;
  const FilledBasis& filled_;
  const ShoeKind& kind_;
  const std::vector<DraftForme>& formes_;
  StyleSpec& style_;
  std::vector<Proposed>& proposed_;
  std::map<std::string, KindMeasure> over_the_upper_;  // steps of what of a girth lies there
};

}  // namespace

void fill_measures(const DraftBasis& basis, const FilledBasis& filled, const ShoeKind& kind,
                   const std::vector<DraftForme>& formes, StyleSpec& style, std::vector<Proposed>& proposed) {
  MeasureFiller(basis, filled, kind, formes, style, proposed).run();
}

}  // namespace lastwright
