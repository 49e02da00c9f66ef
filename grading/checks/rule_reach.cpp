#include "grading/checks/rule_reach.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <optional>
#include <string>
#include <variant>

#include "grading/grade/held_stretches.hpp"

namespace lastwright {

namespace {

struct OneRule {
  std::string name;
  std::vector<Vec2> points;
  double around = 0.0;  // mm: its own surroundings
  FormeSpec without;
  bool keeps_shape = false;  // a hold, a held edge
};

constexpr double kHeldSurroundings = 1.5;  // sizes: as far as local fields reach
// Chosen here: a hold with room about it moves less than a thousandth of a millimetre beyond them, one beside
// other rules a tenth of what it keeps from growing.
constexpr Millimetres kHeldAway{0.5};

std::vector<Vec2> named_points(const FormeSpec& forme, const std::vector<std::string>& names) {
  std::vector<Vec2> points;
  for (const std::string& name : names) {
    for (const NamedPoint& p : forme.points) {
      if (p.name == name) points.push_back(p.at);
    }
  }
  return points;
}

struct RuleWords {
  std::string name;
  std::vector<std::string> points;
};

RuleWords words_of(const Rule& rule) {
  struct Visitor {
    RuleWords operator()(const MeasureLine& r) const { return {r.name, {r.from, r.to}}; }
    RuleWords operator()(const CheckLine& r) const { return {r.line.name, {}}; }
    RuleWords operator()(const PointRule& r) const { return {"point " + r.point, {r.point}}; }
    RuleWords operator()(const Hold& r) const {
      return {"hold " + r.points.front() + " ... " + r.points.back(), r.points};
    }
    RuleWords operator()(const Straight& r) const {
      return {"straight " + r.points.front() + " ... " + r.points.back(), r.points};
    }
    RuleWords operator()(const Square& r) const {
      return {"square " + r.points.front() + " ... " + r.points.back(), r.points};
    }
  };
  return std::visit(Visitor{}, rule);
}

std::vector<OneRule> rules_of(const GradeMap& map) {
  const FormeSpec& forme = map.forme();
  const double scale = map.field().frame().length_scale.value();
  std::vector<OneRule> all;
  for (std::size_t i = 0; i < forme.rules.size(); ++i) {
    const Rule& rule = forme.rules[i];
    if (std::holds_alternative<CheckLine>(rule)) continue;
    RuleWords words = words_of(rule);
    if (words.name == forme.length_line || words.name == forme.girth_line) continue;
    OneRule one{std::move(words.name), named_points(forme, words.points), scale, forme};
    one.keeps_shape = std::holds_alternative<Hold>(rule);
    if (one.keeps_shape) one.around = kHeldSurroundings * farthest_apart(one.points);
    one.without.rules.erase(one.without.rules.begin() + static_cast<std::ptrdiff_t>(i));
    all.push_back(std::move(one));
  }
  for (std::size_t i = 0; i < forme.held.size(); ++i) {
    const HeldStretch& held = forme.held[i];
    OneRule one{"held " + held.name, held.points, kHeldSurroundings * farthest_apart(held.points), forme,
                true};
    one.without.held.erase(one.without.held.begin() + static_cast<std::ptrdiff_t>(i));
    all.push_back(std::move(one));
  }
  return all;
}

double distance_to(Vec2 p, const std::vector<Vec2>& points) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const Vec2 q : points) nearest = std::min(nearest, distance(p, q));
  return nearest;
}

// The outermost sizes and widths.
std::vector<std::size_t> outermost(const StyleGrade& grade) {
  std::vector<std::size_t> cells;
  for (const auto& [size, width] : grade.run.corners()) cells.push_back(grade.cell(size, width));
  return cells;
}

// A place of a piece's outline on its forme, and where it comes to in some cells.
struct RuledPlace {
  std::size_t piece;
  Vec2 at;
  std::vector<Vec2> moves;
};

std::vector<Vec2> moves_of(const GradeMap& map, const std::vector<Drivers>& cells, Vec2 at) {
  std::vector<Vec2> of_drivers(map.field().drivers());
  map.field().displacements(at, of_drivers);
  std::vector<Vec2> moves;
  for (const Drivers& drivers : cells) {
    Vec2 u;
    for (std::size_t j = 0; j < of_drivers.size(); ++j) u += drivers[j] * of_drivers[j];
    moves.push_back(u);
  }
  return moves;
}

std::vector<RuledPlace> ruled_places(const StyleGrade& grade, std::size_t forme,
                                     const std::vector<std::size_t>& cells) {
  std::vector<Drivers> drivers;
  for (const std::size_t cell : cells) drivers.push_back(grade.formes[forme].drivers[cell]);
  std::vector<RuledPlace> places;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    if (grade.pieces[p].forme != forme) continue;
    const PieceShape& shape = grade.pieces[p].shape;
    for (const ShapePath& edge : shape.edges) {
      for (const ShapeSpan& span : edge) {
        const Vec2 at = shaped_point(shape.base, span.from);
        places.push_back({p, at, moves_of(grade.formes[forme].map, drivers, at)});
      }
    }
  }
  return places;
}

StyleFinding reach_of(const OneRule& rule, const StyleGrade& grade, std::size_t forme,
                      std::span<const std::string> measures, const std::vector<std::size_t>& cells,
                      const std::vector<RuledPlace>& places) {
  StyleFinding finding;
  finding.check = "rule reach";
  finding.subject = grade.formes[forme].map.forme().name + ": " + rule.name;
  finding.note = fmt::format("moves nothing that lies more than {:.0f} mm from it", rule.around);
  const Result<GradeMap> without = make_grade_map(rule.without, measures);
  std::vector<Drivers> drivers;
  for (const std::size_t cell : cells) {
    Result<Drivers> here = without.ok() ? without->drivers(grade.steps[cell]) : without.problem();
    if (!here) {
      finding.note = "not known: the forme cannot be graded without it";
      return finding;
    }
    drivers.push_back(*std::move(here));
  }
  for (const RuledPlace& place : places) {
    const double away = distance_to(place.at, rule.points);
    if (!(away > rule.around)) continue;
    const std::vector<Vec2> moves = moves_of(*without, drivers, place.at);
    for (std::size_t k = 0; k < cells.size(); ++k) {
      const double moved = distance(place.moves[k], moves[k]);
      if (!(moved > finding.worst)) continue;
      finding.worst = moved;
      finding.where = {grade.cells[cells[k]], grade.pieces[place.piece].bound.spec.name, place.at,
                       fmt::format("{:.0f} mm from the rule", away)};
    }
  }
  return finding;
}

// By the stated limit a rule fails; by the default what keeps its shape is to be looked at.
StyleFinding judged(StyleFinding finding, bool keeps_shape, std::optional<Millimetres> stated) {
  if (stated) {
    finding.limit = stated->value();
  } else if (keeps_shape) {
    finding.limit = kHeldAway.value();
  }
  const bool beyond = finding.limit && finding.worst > *finding.limit;
  finding.passed = !(beyond && stated);
  finding.doubtful = beyond && !stated;
  if (!(finding.worst > 0.0)) return finding;
  finding.note = "what the rule moves beyond its own surroundings: reported";
  if (!beyond) return finding;
  finding.note =
      keeps_shape
          ? "it moves this much away from it, where it should move nothing: other rules tie its points, "
            "or very near ones, to something else; hold fewer points, or take one of these rules away"
          : "the rule moves this much beyond its own surroundings: state its neighbours too, or a "
            "higher \"rule_away\" among the limits";
  return finding;
}

}  // namespace

std::vector<StyleFinding> rule_reaches(const StyleSpec& style, const StyleGrade& grade,
                                       const MeasureTable& table, bool all) {
  std::vector<std::string> measures;
  for (const Measure& measure : table.measures()) measures.push_back(measure.name);
  const std::vector<std::size_t> cells = outermost(grade);
  std::vector<StyleFinding> findings;
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    const std::vector<RuledPlace> places = ruled_places(grade, f, cells);
    for (const OneRule& rule : rules_of(grade.formes[f].map)) {
      if (!all && !rule.keeps_shape && !style.rule_away_limit) continue;
      findings.push_back(
          judged(reach_of(rule, grade, f, measures, cells, places), rule.keeps_shape, style.rule_away_limit));
    }
  }
  return findings;
}

}  // namespace lastwright
