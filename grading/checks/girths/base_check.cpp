// The base against the drawing: what a line is drawn as and what the measures say of it in the sample.
//
// A measure grows from its base; a line grows from what it is drawn as. Where the two are not the same thing,
// every size is wrong by as much, or a figure or the base size is mistyped.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "geometry/counted.hpp"
#include "grading/checks/girths/base_limits.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

// A line that carries a share grows by as much of itself as what it carries does only where it is drawn so
// long. By a quarter more or less it is told: a share may be meant so, or mistyped. Twice as fast as its
// measures no part of a last grows, and slower it may.
constexpr double kPaceTold = 1.25;
constexpr double kPaceMost = 2.0;
// Of a short line this much is told, though a ruler on paper may have read it.
constexpr double kToldPercent = 5.0;
constexpr double kToldOff = 0.2;     // mm: what is drawn to a tenth may be off
constexpr double kToldShare = 0.25;  // of a girth's limit: above it the figure is told
constexpr double kDrawnTo = 0.02;    // mm: what is drawn a size, or half of one, off may be rounded by this

struct DrawnLine {
  const FormeSpec* forme = nullptr;
  const MeasureLine* line = nullptr;
  double drawn = 0.0;                // mm
  double base = 0.0;                 // mm, what it carries in the sample
  std::optional<std::size_t> whole;  // the measure that it carries the whole of, and nothing else
  [[nodiscard]] double off() const { return drawn - base - line->extra.value_or(Millimetres(0.0)).value(); }
};

class BaseChecker {
 public:
  BaseChecker(const StyleSpec& style, const MeasureTable& table) : style_(style), table_(table) {
    for (const FormeSpec& forme : style.formes) {
      for (const Rule& rule : forme.rules) {
        if (const MeasureLine* line = rule_line(rule)) lines_.push_back(looked_at(forme, *line));
      }
    }
  }

  std::vector<StyleFinding> run() {
    std::vector<StyleFinding> findings;
    for (const DrawnLine& line : lines_) findings.push_back(line.whole ? whole(line) : share(line));
    tell_alone(findings);
    for (const GirthSpec& girth : style_.girths) findings.push_back(sum(girth));
    tell_scale(findings);
    for (const FormeSpec& forme : style_.formes) add_directions(forme, findings);
    return findings;
  }

 private:
  [[nodiscard]] double base_of(std::size_t measure) const { return table_.value(measure, table_.base().at); }

  [[nodiscard]] DrawnLine looked_at(const FormeSpec& forme, const MeasureLine& line) const {
    DrawnLine one{&forme, &line, drawn_length(forme, line), 0.0, {}};
    for (const auto& [measure, share] : line.carries) {
      const std::optional<std::size_t> index = table_.index(measure);
      invariant(index.has_value(), "what a line carries is in the table");
      one.base += share.value() * base_of(*index);
      if (line.carries.size() == 1 && share == Fraction(1)) one.whole = index;
    }
    return one;
  }

  [[nodiscard]] bool follows_scale(std::size_t measure) const { return style_.measures[measure].from_scale; }

  // A line that stands for the size itself: it carries the whole of what follows the scale, and says of no
  // part of its length that it is beyond it.
  [[nodiscard]] bool stands_for_size(const DrawnLine& line) const {
    return line.whole && !line.line->extra && follows_scale(*line.whole);
  }
  // Whether a line is drawn nearer to its base than half a step.
  [[nodiscard]] static bool within_half(const DrawnLine& line, double step) {
    return std::abs(line.off()) < 0.5 * step - kDrawnTo;
  }
  // Whether such a line shows that the drawing is of the base size: the line itself, or another one. A
  // bottom's copy of a sprung last is shorter than its size, so that it proves nothing of an upper.
  [[nodiscard]] bool size_shown(const DrawnLine& line) const {
    const double step = table_.base().step.value();
    return std::any_of(lines_.begin(), lines_.end(), [&](const DrawnLine& one) {
      return one.whole == line.whole && stands_for_size(one) && within_half(one, step) &&
             (role_of(*one.forme) != FormeRole::kBottom || role_of(*line.forme) != FormeRole::kUpper);
    });
  }

  // mm, and whether a line may leave its base by as much. One whole size is another size, unless another line
  // shows that the size is right.
  [[nodiscard]] double limit_of(const DrawnLine& line) const {
    const double limit = base_limit_of(style_, stands_for_size(line), line.base, line.off());
    if (!stands_for_size(line) || style_.base_limit || size_shown(line)) return limit;
    return std::min(limit, table_.base().step.value() - kDrawnTo);
  }
  [[nodiscard]] bool agrees(const DrawnLine& line) const { return std::abs(line.off()) <= limit_of(line); }

  // Another line that carries the measure is drawn as long
  // as the measure: then this one only grows as it does.
  [[nodiscard]] const DrawnLine* agreeing(const DrawnLine& line) const {
    for (const DrawnLine& other : lines_) {
      if (&other == &line || other.whole != line.whole || other.line->extra || !agrees(other)) continue;
      if (!stands_for_size(line) || size_shown(line)) return &other;
    }
    return nullptr;
  }

  static std::string named(const DrawnLine& line) { return line.forme->name + ": " + line.line->name; }

  [[nodiscard]] StyleFinding whole(const DrawnLine& line) const {
    const std::string& measure = table_.measures()[*line.whole].name;
    StyleFinding finding{
        "base and drawing", named(line), std::abs(line.off()), limit_of(line), "mm", {}, true, ""};
    const std::string with_extra =
        line.line->extra ? fmt::format(" and {:.2f} mm extra", line.line->extra->value()) : "";
    finding.note = fmt::format("drawn {:.2f} mm long, and the base of {} is {:.2f} mm{}", line.drawn, measure,
                               line.base, with_extra);
    finding.passed = agrees(line);
    if (follows_scale(*line.whole)) {
      told_of_size(line, finding);
    } else if (const double sizes = whole_sizes(line); finding.passed && sizes > 0.0) {
      finding.doubtful = true;
      finding.note += fmt::format(
          ": {:.1f} sizes {}. Is the base size right? If the line is meant to be so, say it: \"extra\": "
          "\"{:.2f} mm\"",
          sizes, line.off() > 0.0 ? "longer" : "shorter", line.drawn - line.base);
    } else if (!finding.passed) {
      finding.note += fmt::format(
          ": correct the figure or the points of the line, or state how much longer it is: \"extra\": "
          "\"{:.2f} mm\"",
          line.drawn - line.base);
    } else if (finding.worst > std::max(kToldOff, kToldPercent / 100.0 * line.base)) {
      finding.doubtful = true;
      finding.note +=
          fmt::format(", a deviation of {:.1f} percent: within the limit, but much for so short a line",
                      100.0 * finding.worst / line.base);
    }
    if (finding.passed || line.line->extra) return finding;
    if (const DrawnLine* other = agreeing(line)) {
      finding.passed = true;
      finding.limit.reset();
      finding.doubtful = true;
      finding.note = fmt::format(
          "drawn {:.2f} mm long, and carries the whole of {}, {:.2f} mm, as {} does, which is "
          "drawn so: it is taken to grow by as much only",
          line.drawn, measure, line.base, named(*other));
    }
    return finding;
  }

  // By how many sizes a length of the last is off that has a step of its own; 0 below half a size.
  [[nodiscard]] double whole_sizes(const DrawnLine& line) const {
    if (line.line->extra || line.forme->length_line != line.line->name || !role_of(*line.forme)) return 0.0;
    const SizeWidth& at = table_.base().at;
    const SizeWidth next{{at.size.position + 1, at.size.label}, at.width};
    const double step = std::abs(table_.value(*line.whole, next) - line.base);
    return step > 0.0 && std::abs(line.off()) >= kToldOff && !within_half(line, step)
               ? std::abs(line.off()) / step
               : 0.0;
  }

  // A measure that follows the scale stands for the size itself.
  void told_of_size(const DrawnLine& line, StyleFinding& finding) const {
    const Base& base = table_.base();
    const double sizes = line.off() / base.step.value();
    finding.note = fmt::format(
        "drawn {:.2f} mm long, and size {} of the scale is {:.2f} mm: {:.2f} mm or {:.1f} sizes {}",
        line.drawn, base.at.size.label, line.base, std::abs(line.off()), std::abs(sizes),
        line.off() > 0.0 ? "longer" : "shorter");
    if (line.line->extra)
      finding.note += fmt::format(", its extra of {:.2f} mm taken off", line.line->extra->value());
    if (!finding.passed || (!line.line->extra && !size_shown(line))) {
      finding.note += fmt::format(
          ": is the base size right? If the line is meant to be so, say it: \"extra\": "
          "\"{:.2f} mm\"",
          line.drawn - line.base);
      finding.doubtful = finding.passed;
    }
  }

  // A line that carries a share need not be drawn as long, but no line is below nothing.
  [[nodiscard]] static StyleFinding share(const DrawnLine& line) {
    StyleFinding finding{"base share", named(line), std::abs(line.off()), {}, "mm", {}, true, ""};
    finding.note = fmt::format("drawn {:.2f} mm long, and the base says {:.2f} mm of what it carries",
                               line.drawn, line.base);
    if (line.line->extra) finding.note += fmt::format(" and {:.2f} mm extra", line.line->extra->value());
    const double said = line.base + line.line->extra.value_or(Millimetres(0.0)).value();
    if (said <= 0.0) {
      finding.limit = 0.0;
      finding.passed = false;
      finding.note += ": no line has a length below 0; a base or a share is wrong";
    } else if (finding.worst > kLeastBaseLimit &&
               std::max(said / line.drawn, line.drawn / said) > kPaceTold) {
      if (said > kPaceMost * line.drawn) {
        finding.limit = (kPaceMost - 1.0) * line.drawn;
        finding.passed = false;
      }
      finding.doubtful = finding.passed;
      finding.note += fmt::format(
          ": it grows {:.2f} times as fast as what it carries; check the share and the base. If the line is "
          "meant to be so, say it: \"extra\": \"{:.2f} mm\"",
          said / line.drawn, line.drawn - line.base);
    }
    for (const auto& [measure, carried] : line.line->carries) {
      if (carried <= Fraction(1) && Fraction(-1) <= carried) continue;
      finding.doubtful = true;
      finding.note += fmt::format("; {} times {} is more than the whole of it: check its share",
                                  to_mixed(carried), measure);
    }
    return finding;
  }

  [[nodiscard]] StyleFinding sum(const GirthSpec& girth) const {
    const double base = base_of(*table_.index(girth.measure));
    double drawn = 0.0;
    for (const GirthPart& part : girth.parts) {
      for (const DrawnLine& line : lines_) {
        if (line.forme->name == part.forme && line.line->name == part.line)
          drawn += part.times.value() * (line.drawn - line.line->extra.value_or(Millimetres(0.0)).value());
      }
    }
    StyleFinding finding{"base of girth",
                         girth.measure,
                         std::abs(drawn - base),
                         style_.girth_base_limit / 100.0 * base,
                         "mm",
                         {},
                         true,
                         ""};
    finding.note = fmt::format(
        "its lines are drawn {:.2f} mm long together, and its base is {:.2f} mm: {:.1f} percent {}", drawn,
        base, 100.0 * std::abs(drawn / base - 1.0), drawn > base ? "more" : "less");
    finding.passed = finding.worst <= *finding.limit;
    finding.doubtful = finding.passed && finding.worst > kToldShare * *finding.limit;
    return finding;
  }

  // One line within its limit, where all others are drawn to a tenth of what the base says. A stick is drawn
  // with what the last has beyond its size.
  void tell_alone(std::vector<StyleFinding>& findings) const {
    constexpr double kExact = 0.1;    // mm
    constexpr double kOff = 1.0;      // mm: a figure rounded to a millimetre is off by half of one
    constexpr std::size_t kMany = 2;  // lines that are exact
    StyleFinding* off = nullptr;
    std::size_t exact = 0;
    for (std::size_t i = 0; i < findings.size(); ++i) {  // of the lines, in their order
      StyleFinding& one = findings[i];
      if (one.check != "base and drawing" || !one.limit || !one.passed || follows_scale(*lines_[i].whole))
        continue;
      if (one.worst <= kExact) {
        ++exact;
      } else if (off != nullptr) {
        return;
      } else {
        off = &one;
      }
    }
    if (off == nullptr || off->doubtful || off->worst <= kOff || exact < kMany) return;
    off->doubtful = true;
    off->note += fmt::format(
        ": within the limit, but the other {} are drawn to {:g} mm; see to the figure and the points of the "
        "line",
        counted(exact, "line"), kExact);
  }

  // Where all lines are off by one factor it is the drawing that is.
  void tell_scale(std::vector<StyleFinding>& findings) const {
    constexpr double kOneFactor = 0.01;  // of it: what the shares and the rounding of a scale leave
    constexpr double kFar = 0.02;        // less is told line by line
    const auto factor = [](const DrawnLine& line) {
      return (line.drawn - line.line->extra.value_or(Millimetres(0.0)).value()) / line.base;
    };
    double low = std::numeric_limits<double>::infinity();
    double high = 0.0;
    std::size_t whole = 0;
    for (const DrawnLine& line : lines_) {
      if (!line.whole || !(line.base > 0.0)) continue;
      low = std::min(low, factor(line));
      high = std::max(high, factor(line));
      ++whole;
    }
    if (whole < 2 || high > low * (1.0 + kOneFactor) || !(low > 0.0)) return;
    const double by = std::sqrt(low * high);
    if (std::abs(by - 1.0) < kFar) return;
    std::string text = fmt::format(
        "; every line that carries a whole measure is drawn {:.4g} times as long as its base", by);
    for (const auto& [times, unit] : {std::pair{25.4, "inches taken for mm, or mm for inches"},
                                      {10.0, "centimetres taken for mm, or mm for centimetres"},
                                      {2.54, "inches taken for centimetres, or centimetres for inches"}}) {
      if (std::abs(std::abs(std::log(by)) - std::log(times)) < kFar) text += fmt::format(", {}", unit);
    }
    text += ": it looks like the scale or the unit of the drawing and its points";
    for (StyleFinding& one : findings) {
      if (one.check != "base and drawing") continue;
      one.note += text;
      one.doubtful = one.passed;
      return;
    }
  }

  // The line that sets the grade across, where it is in no girth and another line of the forme is.
  void add_girth_line(const FormeSpec& forme, std::vector<StyleFinding>& findings) const {
    const GirthPart* other = nullptr;
    for (const GirthSpec& girth : style_.girths) {
      for (const GirthPart& part : girth.parts) {
        if (part.forme != forme.name) continue;
        if (part.line == forme.girth_line) return;
        if (other == nullptr) other = &part;
      }
    }
    if (other == nullptr) return;
    findings.push_back(doubtful_finding(
        "girth line", forme.name + ": " + forme.girth_line, 1.0, "line",
        fmt::format("sets the grade across and is part of no girth, and {} of the same forme is: check "
                    "\"girth_line\"",
                    other->line)));
  }

  // The two lines that set the proportional grade, one along the base line and one across.
  void add_directions(const FormeSpec& forme, std::vector<StyleFinding>& findings) const {
    const auto place = [&](const std::string& name) { return drawn_place(forme, name); };
    add_girth_line(forme, findings);
    const Vec2 axis = place(forme.base_line.second) - place(forme.base_line.first);
    for (const bool along : {true, false}) {
      const MeasureLine* line = find_line(forme, along ? forme.length_line : forme.girth_line);
      if (line == nullptr) continue;
      const Vec2 way = place(line->to) - place(line->from);
      const double degrees =
          to_degrees(Radians(std::atan2(std::abs(cross(axis, way)), std::abs(dot(axis, way)))));
      constexpr double kMostOff = 60.0;  // degrees; slanted ball lines lie up to 30 off the square
      // Common practice: the last's length is measured along the base line, which a steep pitch may tilt.
      constexpr double kMostOffLength = 15.0;
      const bool length = along && role_of(forme);
      const double off = along ? degrees : 90.0 - degrees;
      if (off <= (length ? kMostOffLength : kMostOff)) continue;
      StyleFinding finding{
          "line direction", forme.name + ": " + line->name, degrees, {}, "degrees", {}, true, ""};
      finding.doubtful = true;
      finding.note = fmt::format(
          "is its angle to the base line, and it sets the grade {} it: check \"{}\" and the points of the "
          "line",
          along ? "along" : "across", along ? "length_line" : "girth_line");
      findings.push_back(std::move(finding));
    }
  }

  const StyleSpec& style_;
  const MeasureTable& table_;
  std::vector<DrawnLine> lines_;
};

}  // namespace

std::vector<StyleFinding> check_base(const StyleSpec& style, const MeasureTable& table) {
  return BaseChecker(style, table).run();
}

}  // namespace lastwright
