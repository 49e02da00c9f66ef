#include "grading/checks/girths/another_base.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "geometry/parallel.hpp"
#include "grading/grade/finding_place.hpp"

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

// One forme with the places of its pieces in every target, as the style's own grade puts them.
struct GradedTargets {
  const StyleGrade& grade;
  const GradedForme& forme;
  const std::vector<Target>& targets;
  std::vector<ComparedPlace> places;
  std::vector<Result<Drivers>> drivers;   // one a target
  std::vector<std::vector<Vec2>> graded;  // by place, then by target; of no meaning where it has no drivers
};

GradedTargets graded_targets(const StyleGrade& grade, std::size_t forme, const std::vector<Target>& targets) {
  GradedTargets all{grade, grade.formes[forme], targets, outline_places(grade, forme), {}, {}};
  std::vector<Drivers> known;
  for (const Target& target : targets) {
    all.drivers.push_back(all.forme.map.drivers(target.step));
    known.push_back(all.drivers.back().ok() ? *all.drivers.back() : Drivers());
  }
  for (const ComparedPlace& place : all.places) all.graded.push_back(all.forme.map.graded(place.at, known));
  return all;
}

// What the forme, redrawn in one size and width, gives otherwise.
struct Otherwise {
  double worst = 0.0;  // mm
  FindingPlace where;
  std::string untold;  // why it is not known; empty: it is
};

Otherwise otherwise(const GradedTargets& all, const MeasureTable& table, std::size_t base) {
  Otherwise found;
  const Target& from = all.targets[base];
  std::vector<std::string> measures;
  for (const Measure& measure : table.measures()) measures.push_back(measure.name);
  const Result<Drivers>& there = all.drivers[base];
  const Result<GradeMap> other = there.ok() ? make_grade_map(redrawn(all.forme.map, *there), measures)
                                            : Result<GradeMap>(there.problem());
  if (!other) {
    found.untold = untold(from.at, other.problem());
    return found;
  }
  std::vector<std::size_t> reached;
  std::vector<Drivers> onward;
  for (std::size_t t = 0; t < all.targets.size(); ++t) {
    if (same_cell(all.targets[t].at, from.at)) continue;
    const Result<Drivers> next = other->drivers(step_between(from.step, all.targets[t].step));
    if (!all.drivers[t] || !next) {
      found.untold = untold(from.at, !all.drivers[t] ? all.drivers[t].problem() : next.problem());
      break;
    }
    reached.push_back(t);
    onward.push_back(*next);
  }
  std::vector<std::vector<Vec2>> moved;
  for (const std::vector<Vec2>& graded : all.graded) moved.push_back(other->graded(graded[base], onward));
  for (std::size_t i = 0; i < reached.size(); ++i) {
    const SizeWidth& at = all.targets[reached[i]].at;
    for (std::size_t p = 0; p < all.places.size(); ++p) {
      const double off = distance(moved[p][i], all.graded[p][reached[i]]);
      if (!(off > found.worst)) continue;
      const ComparedPlace& place = all.places[p];
      found.worst = off;
      found.where = {at, all.grade.pieces[place.piece].bound.spec.name, place.at,
                     fmt::format("were {} the base", where(from.at))};
    }
  }
  return found;
}

void take(StyleFinding& finding, const Otherwise& found) {
  if (!found.untold.empty()) finding.note = found.untold;
  if (!(found.worst > finding.worst)) return;
  finding.worst = found.worst;
  finding.where = found.where;
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

std::vector<StyleFinding> another_base(const StyleGrade& grade, const MeasureTable& table, unsigned threads) {
  const std::vector<Target> targets = outermost(grade.run, table);
  const std::size_t formes = grade.formes.size();
  std::vector<std::optional<GradedTargets>> all(formes);
  static_cast<void>(run_jobs(formes, threads, [&](std::size_t f) -> Status {
    all[f].emplace(graded_targets(grade, f, targets));
    return Done{};
  }));
  std::vector<Otherwise> found(formes * targets.size());
  static_cast<void>(run_jobs(found.size(), threads, [&](std::size_t j) -> Status {
    const std::size_t base = j % targets.size();
    if (!same_cell(targets[base].at, grade.run.base))
      found[j] = otherwise(*all[j / targets.size()], table, base);
    return Done{};
  }));
  std::vector<StyleFinding> findings;
  for (std::size_t f = 0; f < formes; ++f) {
    StyleFinding finding;
    finding.check = "another base";
    finding.subject = grade.formes[f].map.forme().name;
    finding.note =
        "how far outlines lie elsewhere when the formes are drawn in another size or width: reported";
    for (std::size_t base = 0; base < targets.size(); ++base) take(finding, found[f * targets.size() + base]);
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace lastwright
