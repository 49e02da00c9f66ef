// Girth shares: the lines of a girth, over all its formes, must carry the whole of it.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

// Measures that lines carry parts of, none the whole, and whose parts nobody adds up.
std::vector<StyleFinding> shared_and_not_summed(const StyleSpec& style) {
  std::map<std::string, std::string> in_parts;  // by measure: the first line that carries a part
  std::set<std::string> without;  // of which a line carries a part less one of another measure: a girth
  std::set<std::string> known;
  for (const GirthSpec& girth : style.girths) known.insert(girth.measure);
  for (const FormeSpec& forme : style.formes) {
    for (const Rule& rule : forme.rules) {
      const auto* line = std::get_if<MeasureLine>(&rule);
      if (line == nullptr) continue;
      const bool less = std::any_of(line->carries.begin(), line->carries.end(),
                                    [](const auto& one) { return one.second < Fraction(0); });
      for (const auto& [measure, share] : line->carries) {
        if (less && Fraction(0) < share) without.insert(measure);
        if (share == Fraction(1)) known.insert(measure);
        if (Fraction(0) < share) in_parts.try_emplace(measure, forme.name + ": " + line->name);
      }
    }
  }
  std::vector<StyleFinding> findings;
  for (const auto& [measure, line] : in_parts) {
    if (known.count(measure) > 0) continue;
    findings.push_back({"girth share",
                        measure,
                        0.0,
                        {},
                        "parts",
                        {},
                        true,
                        "not proved: " + line +
                            " carries a part of it, and \"girths\" does not say which "
                            "lines make up the whole"});
    findings.back().doubtful = without.count(measure) > 0;
  }
  return findings;
}

}  // namespace

std::vector<StyleFinding> check_girths(const StyleSpec& style, const StyleGrade& grade,
                                       const MeasureTable& table) {
  std::vector<StyleFinding> findings;
  for (const GirthSpec& girth : style.girths) {
    std::map<std::string, Fraction> shares;  // exact: what all parts together carry of each measure
    shares[girth.measure] = Fraction(0);
    for (const GirthPart& part : girth.parts) {
      for (const FormeSpec& forme : style.formes) {
        if (forme.name != part.forme) continue;
        if (const MeasureLine* line = find_line(forme, part.line)) {
          for (const auto& [measure, share] : line->carries)
            shares[measure] = shares[measure] + part.times * share;
        }
      }
    }
    StyleFinding exact{
        "girth share", girth.measure, 0.0, 0.0, "parts", {}, true, "the shares of its lines add up to one"};
    for (const auto& [measure, share] : shares) {
      const Fraction off = share - Fraction(measure == girth.measure ? 1 : 0);
      if (off == Fraction(0)) continue;
      exact.worst = std::max(exact.worst, std::abs(off.value()));
      exact.note = "the shares of " + measure + " add up to " + to_mixed(share) + ", each as often as " +
                   "its line counts; they must come to " + (measure == girth.measure ? "1" : "0") +
                   ": check what the lines carry, \"times\", and lines that are not stated";
    }
    exact.passed = exact.worst == 0.0;
    findings.push_back(exact);

    const auto index = table.index(girth.measure);
    if (!index) continue;
    StyleFinding closure{"girth growth",
                         girth.measure,
                         0.0,
                         tolerance::kMeasureLine.value(),
                         "mm",
                         {},
                         true,
                         "how much its lines grew, compared with the table"};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      double grown = 0.0;
      for (const GirthPart& part : girth.parts) {
        for (const GradedForme& forme : grade.formes) {
          if (forme.map.forme().name != part.forme) continue;
          for (const LineReading& line : forme.map.readings(grade.steps[k], forme.drivers[k])) {
            if (line.line == part.line) grown += part.times.value() * (line.reached - line.base);
          }
        }
      }
      const double off = std::abs(grown - grade.steps[k].increments[*index]);
      if (!(off <= closure.worst)) {
        closure.worst = off;
        closure.where = grade.cells[k];
      }
    }
    closure.passed = closure.worst <= *closure.limit;
    findings.push_back(closure);
  }
  const std::vector<StyleFinding> more = shared_and_not_summed(style);
  findings.insert(findings.end(), more.begin(), more.end());
  return findings;
}

}  // namespace lastwright
