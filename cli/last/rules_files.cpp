#include "cli/last/rules_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "cli/csv.hpp"
#include "cli/safe_text.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

std::string cell_and_forme(const LoadedStyle& style, const RulesBesideLast& rules,
                           const ComparedForme& cell) {
  return csv_field(cell.at.size.label) + "," + csv_field(cell.at.width.label) + "," +
         csv_field(style.spec.formes[rules.ties[cell.tie].forme].name);
}

}  // namespace

std::string rule_lines_csv(const LoadedStyle& style, const RulesBesideLast& rules) {
  std::string out =
      "size,width,forme,line,drives,drawn_mm,change_by_rules_mm,change_by_last_mm,difference_mm\n";
  for (const ComparedForme& cell : rules.compared) {
    for (const ComparedLine& line : cell.lines) {
      out += fmt::format("{},{},{},{:.4f},{:.4f},{:.4f},{:.4f}\n", cell_and_forme(style, rules, cell),
                         csv_field(line.name), line.drives ? "yes" : "no", line.drawn, line.by_rules,
                         line.by_last, line.by_rules - line.by_last);
    }
  }
  return out;
}

std::string rule_points_csv(const LoadedStyle& style, const RulesBesideLast& rules) {
  std::string out = "size,width,forme,point,by_rules_x_mm,by_rules_y_mm,by_last_x_mm,by_last_y_mm,apart_mm\n";
  for (const ComparedForme& cell : rules.compared) {
    for (const ComparedPoint& p : cell.points) {
      out += fmt::format("{},{},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f}\n", cell_and_forme(style, rules, cell),
                         csv_field(p.name), p.by_rules.x, p.by_rules.y, p.by_last.x, p.by_last.y,
                         distance(p.by_rules, p.by_last));
    }
  }
  return out;
}

std::string shares_csv(const RulesBesideLast& rules) {
  std::string out = "girth,upper_mm,bottom_mm,bottom_grows_by_share_of_tread,residual_mm\n";
  for (const GirthShare& s : rules.shares)
    out +=
        fmt::format("{},{:.4f},{:.4f},{:.5f},{:.4f}\n", s.girth, s.upper, s.bottom, s.of_tread, s.residual);
  return out;
}

std::string rules_json(const LoadedStyle& style, const RulesBesideLast& rules, const std::string& last_file) {
  nlohmann::ordered_json out;
  out["lastwright_rules"] = 1;
  out["last"] = safe_text(last_file);
  out["formes"] = nlohmann::ordered_json::object();
  for (std::size_t t = 0; t < rules.ties.size(); ++t) {
    nlohmann::ordered_json points = nlohmann::ordered_json::object();
    for (const FittedRule& r : rules.fitted[t]) {
      points[r.point] = {{"drawn", {four_decimals(r.drawn.x), four_decimals(r.drawn.y)}},
                         {"per_size", {four_decimals(r.per_size.x), four_decimals(r.per_size.y)}},
                         {"per_width", {four_decimals(r.per_width.x), four_decimals(r.per_width.y)}},
                         {"residual", four_decimals(r.residual)}};
    }
    out["formes"][style.spec.formes[rules.ties[t].forme].name] = {
        {"laid_within", four_decimals(rules.ties[t].misfit)}, {"points", std::move(points)}};
  }
  for (const GirthShare& s : rules.shares) {
    out["shares"][s.girth] = {{"upper", four_decimals(s.upper)},
                              {"bottom", four_decimals(s.bottom)},
                              {"of_tread", four_decimals(s.of_tread)},
                              {"residual", four_decimals(s.residual)}};
  }
  return out.dump(1) + "\n";
}

std::string rules_said(const LoadedStyle& style, const RulesBesideLast& rules) {
  std::string said;
  for (std::size_t t = 0; t < rules.ties.size(); ++t) {
    const FormeTie& tie = rules.ties[t];
    struct Worst {
      double off = 0.0;
      std::string at;
    };
    std::map<std::string, Worst> lines;
    Worst points;
    for (const ComparedForme& cell : rules.compared) {
      if (cell.tie != t) continue;
      const std::string at = label_of(cell.at);
      for (const ComparedLine& line : cell.lines) {
        Worst& worst = lines[line.name];
        if (std::abs(line.by_rules - line.by_last) > std::abs(worst.off))
          worst = {line.by_rules - line.by_last, at};
      }
      for (const ComparedPoint& p : cell.points) {
        const double off = distance(p.by_rules, p.by_last);
        if (off > points.off) points = {off, p.name + " in " + at};
      }
    }
    const auto on_last =
        std::count_if(tie.points.begin(), tie.points.end(), [](const TiedPoint& p) { return p.on_last; });
    said +=
        fmt::format("forme {} on the last's {}: laid within {:.1f} mm, {} of its {} points lie on the last\n",
                    style.spec.formes[tie.forme].name, tie.bottom ? "bottom" : "mean", tie.misfit, on_last,
                    tie.points.size());
    for (const auto& [name, worst] : lines) {
      said += worst.at.empty() ? fmt::format("  {}: rules and last agree\n", name)
                               : fmt::format("  {}: rules {:+.2f} mm off the last at most, in {}\n", name,
                                             worst.off, worst.at);
    }
    double residual = 0.0;
    for (const FittedRule& r : rules.fitted[t]) residual = std::max(residual, r.residual);
    if (!points.at.empty()) {
      said += fmt::format(
          "  points: at most {:.2f} mm apart ({}); rules fitted to the last would leave {:.2f} mm\n",
          points.off, points.at, residual);
    }
  }
  for (const GirthShare& s : rules.shares) {
    said += fmt::format(
        "{}: {:.2f} mm on the upper, {:.2f} mm on the bottom, which grows by {:.3f} of the tread within "
        "{:.2f} mm\n",
        s.girth, s.upper, s.bottom, s.of_tread, s.residual);
  }
  return said;
}

}  // namespace lastwright
