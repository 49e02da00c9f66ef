#include "cli/last/rules_files.hpp"
#include "cli/last/printed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/jobs/fitted_table.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

std::string cell_and_forme(const LoadedStyle& style, const RulesBesideLast& rules,
                           const ComparedForme& cell) {
  return csv_field(cell.at.size.label) + "," + csv_field(cell.at.width.label) + "," +
         csv_field(style.spec.formes[rules.ties[cell.tie].forme].name);
}

// In words, "sizes 8, 9 and width F"; empty for none.
std::string words_of(const FittedOn& on) {
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  for (const Size& size : on.sizes) sizes.push_back(size.label);
  for (const Width& width : on.widths) widths.push_back(width.label);
  if (sizes.empty()) return {};
  return fmt::format("{} {} and {} {}", noun_of(sizes.size(), "size"), fmt::join(sizes, ", "),
                     noun_of(widths.size(), "width"), fmt::join(widths, ", "));
}

std::string listed_names(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

// What of a forme is compared with nothing, by name. `compared`: of its lines.
std::string not_compared(const FormeSpec& forme, const FormeTie& tie, const std::set<std::string>& compared) {
  std::vector<std::string> points;
  for (const TiedPoint& p : tie.points) {
    if (!p.on_last) points.push_back(p.name);
  }
  std::vector<std::string> lines;
  for (const Rule& rule : forme.rules) {
    const auto* line = std::get_if<MeasureLine>(&rule);
    if (const auto* check = std::get_if<CheckLine>(&rule)) line = &check->line;
    if (line != nullptr && compared.count(line->name) == 0) lines.push_back(line->name);
  }
  std::string text;
  if (!points.empty()) text += "  points beyond the last, not compared: " + listed_names(points) + "\n";
  if (!lines.empty())
    text += "  lines that end at a point beyond the last, not compared: " + listed_names(lines) + "\n";
  return text;
}

// What the run of lasts says nothing of, and what was fitted on: of no use are rules from one size for
// another.
std::string not_covered(const LoadedStyle& style, const RulesBesideLast& rules) {
  const FittedOn on = fitted_on(rules.compared);
  if (on.sizes.empty()) return {};
  const SizeWidth& home = style.measures.base().at;
  const auto other = [](const auto& list, const auto& base) {
    return std::any_of(list.begin(), list.end(),
                       [&](const auto& one) { return one.position != base.position; });
  };
  std::string open;
  if (!other(on.sizes, home.size)) open = "sizes";
  if (!other(on.widths, home.width)) open += open.empty() ? "widths" : " and widths";
  return fmt::format("rules.json: fitted on {}{}\n", words_of(on),
                     open.empty() ? std::string() : ", which says nothing of other " + open);
}

// Formes of the style that no line ties to the last.
std::string not_tied(const LoadedStyle& style, const std::vector<FormeTie>& ties) {
  std::vector<std::string> names;
  for (std::size_t f = 0; f < style.spec.formes.size(); ++f) {
    if (std::none_of(ties.begin(), ties.end(), [&](const FormeTie& tie) { return tie.forme == f; }))
      names.push_back(style.spec.formes[f].name);
  }
  if (names.empty()) return {};
  return "formes without a role or a line that shares a girth, not compared: " + listed_names(names) + "\n";
}

}  // namespace

std::string rule_lines_csv(const LoadedStyle& style, const RulesBesideLast& rules) {
  std::string out =
      "size,width,forme,line,drives,drawn_mm,change_by_rules_mm,change_by_last_mm,difference_mm\n";
  for (const ComparedForme& cell : rules.compared) {
    for (const ComparedLine& line : cell.lines) {
      out +=
          fmt::format("{},{},{},{:.4f},{:.4f},{:.4f},{:.4f}\n", cell_and_forme(style, rules, cell),
                      csv_field(line.name), line.drives ? "yes" : "no", line.drawn, printed(line.by_rules, 4),
                      printed(line.by_last, 4), printed(line.by_rules - line.by_last, 4));
    }
  }
  return out;
}

std::string rule_points_csv(const LoadedStyle& style, const RulesBesideLast& rules) {
  std::string out = "size,width,forme,point,by_rules_x_mm,by_rules_y_mm,by_last_x_mm,by_last_y_mm,apart_mm\n";
  for (const ComparedForme& cell : rules.compared) {
    for (const ComparedPoint& p : cell.points) {
      out += fmt::format("{},{},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f}\n", cell_and_forme(style, rules, cell),
                         csv_field(p.name), printed(p.by_rules.x, 4), printed(p.by_rules.y, 4),
                         printed(p.by_last.x, 4), printed(p.by_last.y, 4), distance(p.by_rules, p.by_last));
    }
  }
  return out;
}

std::string shares_csv(const RulesBesideLast& rules) {
  std::string out = "girth,upper_mm,bottom_mm,bottom_grows_by_share_of_tread,residual_mm\n";
  for (const GirthShare& s : rules.shares) {
    out += fmt::format("{},{:.4f},{:.4f},", s.girth, s.upper, s.bottom);
    out += s.of_tread ? fmt::format("{:.5f},{:.4f}\n", *s.of_tread, s.residual) : ",\n";
  }
  return out;
}

std::string rules_json(const LoadedStyle& style, const RulesBesideLast& rules, const std::string& last_file) {
  nlohmann::ordered_json out;
  out["lastwright_rules"] = 1;
  out["last"] = safe_text(last_file);
  const SizeWidth& home = style.measures.base().at;
  out["base"] = {{"size", home.size.label}, {"width", home.width.label}};
  out["fitted_on"] = {{"sizes", nlohmann::ordered_json::array()},
                      {"widths", nlohmann::ordered_json::array()}};
  const FittedOn on = fitted_on(rules.compared);
  for (const Size& size : on.sizes) out["fitted_on"]["sizes"].push_back(size.label);
  for (const Width& width : on.widths) out["fitted_on"]["widths"].push_back(width.label);
  out["table"] = fitted_table(style.measures, rules.measures);
  out["formes"] = nlohmann::ordered_json::object();
  for (std::size_t t = 0; t < rules.ties.size(); ++t) {
    nlohmann::ordered_json points = nlohmann::ordered_json::object();
    for (const FittedRule& r : rules.fitted[t]) {
      nlohmann::ordered_json rule{{"drawn", {four_decimals(r.drawn.x), four_decimals(r.drawn.y)}}};
      for (const auto& [key, move] : {std::pair{"per_size", r.per_size}, {"per_width", r.per_width}}) {
        if (move) rule[key] = {four_decimals(move->x), four_decimals(move->y)};
      }
      rule["residual"] = four_decimals(r.residual);
      points[r.point] = std::move(rule);
    }
    out["formes"][style.spec.formes[rules.ties[t].forme].name] = {
        {"laid_within", four_decimals(rules.ties[t].misfit)}, {"points", std::move(points)}};
  }
  for (const GirthShare& s : rules.shares) {
    nlohmann::ordered_json share{{"upper", four_decimals(s.upper)}, {"bottom", four_decimals(s.bottom)}};
    if (s.of_tread) share["of_tread"] = four_decimals(*s.of_tread);
    if (s.of_tread) share["residual"] = four_decimals(s.residual);
    out["shares"][s.girth] = std::move(share);
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
                                             printed(worst.off, 2), worst.at);
    }
    double residual = 0.0;
    for (const FittedRule& r : rules.fitted[t]) residual = std::max(residual, r.residual);
    if (!points.at.empty()) {
      said += fmt::format(
          "  points: at most {:.2f} mm apart ({}); rules fitted to the last would leave {:.2f} mm\n",
          points.off, points.at, residual);
    }
    std::set<std::string> compared;
    for (const auto& [name, worst] : lines) compared.insert(name);
    said += not_compared(style.spec.formes[tie.forme], tie, compared);
  }
  said += not_tied(style, rules.ties);
  said += not_covered(style, rules);
  for (const GirthShare& s : rules.shares) {
    const std::string grows =
        !s.of_tread ? std::string("how it grows is not known, for no last of the run has another tread")
        : impossible(s)
            ? fmt::format(
                  "which seems to grow by {:.3f} of the tread within {:.2f} mm: that cannot "
                  "be, look at the last and its table",
                  *s.of_tread, s.residual)
            : fmt::format("which grows by {:.3f} of the tread within {:.2f} mm", *s.of_tread, s.residual);
    said += fmt::format("{} of {}: {:.2f} mm on the upper, {:.2f} mm on the bottom, {}\n", s.girth,
                        rules.shares_of, s.upper, s.bottom, grows);
  }
  return said;
}

}  // namespace lastwright
