#include "grading/lasts/formes/rules_compared.hpp"

#include <algorithm>
#include <cmath>

#include "grading/grade/grade_map.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

GradeStep step_of(const LoadedStyle& style, const SizeWidth& at) {
  const SizeWidth& base = style.measures.base().at;
  return {style.measures.increments(at), (at.size - base.size).count.value(),
          (at.width - base.width).count.value()};
}

std::vector<std::string> measure_names(const LoadedStyle& style) {
  std::vector<std::string> names;
  for (const Measure& m : style.measures.measures()) names.push_back(m.name);
  return names;
}

ComparedForme compared(const FormeTie& tie, const GradeMap& map, const Drivers& drivers,
                       const GradeStep& step, const LastPlaces& places) {
  ComparedForme result;
  const auto place_of = [&](const std::string& name) -> std::optional<Vec2> {
    for (std::size_t i = 0; i < tie.points.size(); ++i) {
      if (tie.points[i].name == name) return places[i];
    }
    return std::nullopt;
  };
  const auto drawn_of = [&](const std::string& name) {
    return std::find_if(tie.points.begin(), tie.points.end(),
                        [&](const TiedPoint& p) { return p.name == name; })
        ->drawn;
  };
  for (std::size_t i = 0; i < tie.points.size(); ++i) {
    if (!places[i]) continue;
    const Vec2 drawn = tie.points[i].drawn;
    result.points.push_back({tie.points[i].name, map.graded(drawn, drivers) - drawn, *places[i] - drawn});
  }
  for (const LineReading& reading : map.readings(step, drivers)) {
    for (const Rule& rule : map.forme().rules) {
      const MeasureLine* line = rule_line(rule);
      if (!line || line->name != reading.line) continue;
      const std::optional<Vec2> from = place_of(line->from);
      const std::optional<Vec2> to = place_of(line->to);
      if (!from || !to) continue;
      result.lines.push_back({line->name, reading.drives, reading.base, reading.reached - reading.base,
                              distance(*from, *to) - distance(drawn_of(line->from), drawn_of(line->to))});
    }
  }
  return result;
}

}  // namespace

Result<std::vector<ComparedForme>> compare_rules(const LoadedStyle& style, const std::vector<FormeTie>& ties,
                                                 const SizeWidth& at, const std::vector<LastPlaces>& places) {
  const std::vector<std::string> measures = measure_names(style);
  const GradeStep step = step_of(style, at);
  std::vector<ComparedForme> all;
  for (std::size_t i = 0; i < ties.size(); ++i) {
    const FormeSpec& forme = style.spec.formes[ties[i].forme];
    const Result<GradeMap> map = make_grade_map(forme, measures);
    if (!map) return map.problem().in("forme", forme.name);
    const Result<Drivers> drivers = map->drivers(step);
    if (!drivers) return drivers.problem().in("forme", forme.name);
    ComparedForme one = compared(ties[i], *map, *drivers, step, places[i]);
    one.at = at;
    one.tie = i;
    all.push_back(std::move(one));
  }
  return all;
}

std::vector<FittedRule> fit_rules(const LoadedStyle& style, const FormeTie& tie, std::size_t tie_number,
                                  const std::vector<ComparedForme>& compared) {
  const FormeSpec& forme = style.spec.formes[tie.forme];
  const Vec2 along = base_direction(forme);
  const auto in_base = [&](Vec2 v) { return Vec2{dot(along, v), cross(along, v)}; };
  std::vector<FittedRule> rules;
  for (const TiedPoint& point : tie.points) {
    if (!point.on_last) continue;
    // Normal equations of move = s a + w b over the cells.
    double ss = 0.0;
    double sw = 0.0;
    double ww = 0.0;
    Vec2 sm;
    Vec2 wm;
    struct Seen {
      double s, w;
      Vec2 move;
    };
    std::vector<Seen> seen;
    for (const ComparedForme& cell : compared) {
      if (cell.tie != tie_number) continue;
      for (const ComparedPoint& p : cell.points) {
        if (p.name != point.name) continue;
        const GradeStep step = step_of(style, cell.at);
        seen.push_back({step.size_steps, step.width_steps, in_base(p.by_last)});
        const Seen& one = seen.back();
        ss += one.s * one.s;
        sw += one.s * one.w;
        ww += one.w * one.w;
        sm += one.s * one.move;
        wm += one.w * one.move;
      }
    }
    const double both = ss * ww - sw * sw;
    FittedRule rule{point.name, point.drawn, std::nullopt, std::nullopt, 0.0};
    if (both > 1e-9) {
      rule.per_size = (ww * sm - sw * wm) / both;
      rule.per_width = (ss * wm - sw * sm) / both;
    } else if (ss > 0.0 && ww == 0.0) {
      rule.per_size = sm / ss;
    } else if (ww > 0.0 && ss == 0.0) {
      rule.per_width = wm / ww;
    } else {
      continue;  // the base alone tells nothing, sizes and widths in step not which of them moved it
    }
    for (const Seen& one : seen)
      rule.residual =
          std::max(rule.residual, distance(one.move, one.s * rule.per_size.value_or(Vec2{}) +
                                                         one.w * rule.per_width.value_or(Vec2{})));
    rules.push_back(rule);
  }
  return rules;
}

FittedOn fitted_on(const std::vector<ComparedForme>& compared) {
  FittedOn on;
  for (const ComparedForme& cell : compared) {
    on.sizes.push_back(cell.at.size);
    on.widths.push_back(cell.at.width);
  }
  const auto in_order = [](auto& list) {
    const auto before = [](const auto& a, const auto& b) { return a.position < b.position; };
    const auto same = [](const auto& a, const auto& b) { return a.position == b.position; };
    std::sort(list.begin(), list.end(), before);
    list.erase(std::unique(list.begin(), list.end(), same), list.end());
  };
  in_order(on.sizes);
  in_order(on.widths);
  return on;
}

}  // namespace lastwright
