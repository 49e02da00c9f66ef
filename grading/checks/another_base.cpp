#include "grading/checks/another_base.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace lastwright {

namespace {

struct Target {
  SizeWidth at;
  GradeStep step;
};

GradeStep step_to(const SizeWidth& at, const SizeRun& run, const MeasureTable& table) {
  return {table.increments(at), (at.size - run.base.size).count.value(),
          (at.width - run.base.width).count.value()};
}

// The base and what lies outermost, each once: sizes outermost.
std::vector<Target> outermost(const SizeRun& run, const MeasureTable& table) {
  std::vector<Target> targets;
  const auto add = [&](const SizeWidth& at) {
    const bool there =
        std::any_of(targets.begin(), targets.end(), [&](const Target& one) { return same_cell(one.at, at); });
    const bool asked = run.whole() || run.makes(at) || same_cell(at, run.base);
    if (asked && !there) targets.push_back({at, step_to(at, run, table)});
  };
  for (const Size& size : {run.base.size, run.sizes.front(), run.sizes.back()}) {
    for (const Width& width : {run.base.width, run.widths.front(), run.widths.back()}) add({size, width});
  }
  for (const auto& [size, width] : run.corners()) add({run.sizes[size], run.widths[width]});
  return targets;
}

struct ComparedPlace {
  std::size_t piece;
  Vec2 at;
};

std::vector<ComparedPlace> outline_places(const StyleGrade& grade, std::size_t forme) {
  std::vector<ComparedPlace> places;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    if (grade.pieces[p].forme != forme) continue;
    const PieceShape& shape = grade.pieces[p].shape;
    for (const ShapePath& edge : shape.edges) {
      for (const ShapeSpan& span : edge) places.push_back({p, shaped_point(shape.base, span.from)});
    }
  }
  return places;
}

std::string untold(const SizeWidth& base, const Problem& why) {
  return fmt::format("not known: from {} the forme cannot be graded: {}", where(base), to_text(why));
}

// Takes in what the forme, redrawn in this size and width, gives otherwise.
void take(StyleFinding& finding, const StyleGrade& grade, std::size_t f, const MeasureTable& table,
          const Target& from, const std::vector<Target>& targets) {
  const GradeMap& map = grade.formes[f].map;
  std::vector<std::string> measures;
  for (const Measure& measure : table.measures()) measures.push_back(measure.name);
  const Result<Drivers> there = map.drivers(from.step);
  const Result<GradeMap> other =
      there.ok() ? make_grade_map(redrawn(map, *there), measures) : Result<GradeMap>(there.problem());
  if (!other) {
    finding.note = untold(from.at, other.problem());
    return;
  }
  const std::vector<ComparedPlace> places = outline_places(grade, f);
  for (const Target& target : targets) {
    if (same_cell(target.at, from.at)) continue;
    const Result<Drivers> direct = map.drivers(target.step);
    const Result<Drivers> onward = other->drivers(step_between(from.step, target.step));
    if (!direct || !onward) {
      finding.note = untold(from.at, !direct ? direct.problem() : onward.problem());
      return;
    }
    for (const ComparedPlace& place : places) {
      const double off =
          distance(other->graded(map.graded(place.at, *there), *onward), map.graded(place.at, *direct));
      if (!(off > finding.worst)) continue;
      finding.worst = off;
      finding.where =
          fmt::format("{}, of {}, at ({:.1f}, {:.1f}), were {} the base", where(target.at),
                      grade.pieces[place.piece].bound.spec.name, place.at.x, place.at.y, where(from.at));
    }
  }
}

}  // namespace

FormeSpec redrawn(const GradeMap& map, const Drivers& drivers) {
  FormeSpec forme = map.forme();
  for (NamedPoint& point : forme.points) point.at = map.graded(point.at, drivers);
  for (HeldStretch& held : forme.held) {
    for (Vec2& p : held.points) p = map.graded(p, drivers);
  }
  return forme;
}

GradeStep step_between(const GradeStep& from, const GradeStep& to) {
  GradeStep step{to.increments, to.size_steps - from.size_steps, to.width_steps - from.width_steps};
  for (std::size_t m = 0; m < step.increments.size(); ++m) step.increments[m] -= from.increments[m];
  return step;
}

std::vector<StyleFinding> another_base(const StyleGrade& grade, const MeasureTable& table) {
  const std::vector<Target> targets = outermost(grade.run, table);
  std::vector<StyleFinding> findings;
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    StyleFinding finding;
    finding.check = "another base";
    finding.subject = grade.formes[f].map.forme().name;
    finding.note =
        "how far outlines lie elsewhere when the formes are drawn in another size or width: reported";
    for (const Target& from : targets) {
      if (!same_cell(from.at, grade.run.base)) take(finding, grade, f, table, from, targets);
    }
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace lastwright
