#include "grading/lasts/last_grade.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

Problem at_cell(const Problem& problem, const SizeWidth& at) {
  return problem.in("width", at.width.label).in("size", at.size.label);
}

const MeasureDefinition* definition_of(const BaseLast& base, const std::string& measure) {
  const auto it = std::find_if(base.definitions.begin(), base.definitions.end(),
                               [&](const MeasureDefinition& d) { return d.measure == measure; });
  return it == base.definitions.end() ? nullptr : &*it;
}

double base_value(const BaseLast& base, const std::string& measure) {
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    if (base.definitions[i].measure == measure) return base.values[i].value;
  }
  return 0.0;
}

double change(const LastRule& rule, const LastJob& job) {
  return rule.per_size * job.size_steps + rule.per_width * job.width_steps;
}

// What the bottom forme's line for a girth takes, by the style: millimetres of change between two cells.
// Fails where the girth runs over no bottom forme, or over several.
// Puts the measures that the line carries among `taken`.
Result<double> bottom_share(const StyleSpec& style, const MeasureTable& table, const std::string& girth,
                            const SizeWidth& from, const SizeWidth& to, std::set<std::string>& taken) {
  const auto refused = [&](const std::string& what) {
    return bad_value(fmt::format("\"bottom_follows_style\" takes the bottom's width from the style's {}, {}",
                                 girth, what));
  };
  std::optional<double> share;
  for (const GirthSpec& spec : style.girths) {
    if (spec.measure != girth) continue;
    for (const GirthPart& part : spec.parts) {
      for (const FormeSpec& forme : style.formes) {
        if (forme.name != part.forme || role_of(forme) != FormeRole::kBottom) continue;
        const MeasureLine* line = find_line(forme, part.line);
        invariant(line != nullptr, "a girth's line is on its forme");
        if (share) return refused("which runs over more than one line of the bottom");
        double sum = 0.0;
        for (const auto& [measure, part_of_it] : line->carries) {
          const std::optional<std::size_t> i = table.index(measure);
          if (!i) continue;
          taken.insert(measure);
          sum += part_of_it.value() * (table.value(*i, to) - table.value(*i, from));
        }
        share = part.times.value() * sum;
      }
    }
  }
  if (!share) return refused("which runs over no forme whose \"role\" is \"bottom\"");
  return *share;
}

}  // namespace

Result<LastJob> plan_job(const std::vector<BaseLast>& bases, const LastSpec& spec, const MeasureTable& table,
                         const StyleSpec& style, const SizeWidth& at) {
  LastJob job;
  job.at = at;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < bases.size(); ++i) {
    const double sizes = (at.size - bases[i].at.size).count.value();
    const double widths = (at.width - bases[i].at.width).count.value();
    // A width step changes a last about as much as a size step does.
    const double far = std::hypot(sizes, widths);
    if (far < nearest) {
      nearest = far;
      job.base = i;
      job.size_steps = sizes;
      job.width_steps = widths;
    }
  }
  job.beyond = std::abs(job.size_steps) > spec.sound_sizes || std::abs(job.width_steps) > spec.sound_widths;
  const BaseLast& base = bases[job.base];
  for (const auto& [measure, definition] : spec.table_definitions) {
    const MeasureDefinition* ours = definition_of(base, measure);
    if (!ours || !table.index(measure)) {
      return Problem{
          Trouble::kBadValue,
          fmt::format("\"table_definitions\" names '{}', which last and table do not both have", measure),
          {},
          {},
          {}};
    }
    if (definition != fmt::format("{} v{}", name_of(ours->method), ours->version)) job.unlike.insert(measure);
  }

  const auto asked = [&](const std::string& measure) -> std::optional<double> {
    const std::optional<std::size_t> i = table.index(measure);
    if (!i) return std::nullopt;
    job.measures.insert(measure);
    return table.value(*i, at);
  };
  const std::optional<double> stick = asked("stick length");
  if (!stick)
    return Problem{
        Trouble::kBadValue, "the style has no measure 'stick length' to stretch the last by", {}, {}, {}};
  job.prior = identity_map(base.frame);
  job.prior.stretch = *stick / base.standing.length;
  job.prior.heel_lift = change(spec.heel_height, job);
  job.prior.toe_lift = change(spec.toe_spring, job);
  const auto ratio = [&](const std::string& measure) {
    const std::optional<double> value = asked(measure);
    return value ? *value / base_value(base, measure) : job.prior.stretch;
  };
  // Without a rule of its own the top plane rises as the instep under it grows: a plane that stays behind
  // would squeeze the ridge below it.
  double top_lift = spec.top_plane ? change(*spec.top_plane, job) : 0.0;
  if (!spec.top_plane && base.frame.has_top) {
    const double middle = 0.25 * base.standing.length;
    const double height = base.frame.top_at_zero + base.frame.top_tilt * middle - base.frame.profile(middle);
    top_lift = (ratio("instep girth") - 1.0) * height;
  }
  job.prior.top_lift = top_lift + job.prior.heel_lift;
  const double seat = ratio("seat");
  const double tread = ratio("tread");
  const double girth = ratio("ball girth");
  for (int k = 0; k < kFieldCoefficients; ++k) {
    // The coefficient's own station; the bottom's width goes from the seat's ratio to the tread's.
    const double share = (k - 1.0) / (kFieldCoefficients - 3.0);
    const double t = std::clamp((share - 0.16) / (0.67 - 0.16), 0.0, 1.0);
    const auto i = static_cast<std::size_t>(k);
    job.prior.bottom_width.coefficients[i] = seat + t * (tread - seat);
    job.prior.upper_width.coefficients[i] = girth;
    job.prior.height.coefficients[i] = girth;
  }

  const auto drive = [&](const std::string& measure, double value) -> Status {
    const MeasureDefinition* d = definition_of(base, measure);
    if (!d)
      return Problem{
          Trouble::kBadValue, fmt::format("no measure of the last is named '{}'", measure), {}, {}, {}};
    if (d->method != Method::kPlaneHull && d->method != Method::kDistance) {
      return Problem{Trouble::kBadValue,
                     fmt::format("'{}' has a rule of its own and cannot be a target", measure),
                     {},
                     {},
                     {}};
    }
    if (std::any_of(job.targets.begin(), job.targets.end(),
                    [&](const MeasureTarget& t) { return t.definition.measure == measure; })) {
      return bad_value(fmt::format(
          "'{}' is a target already without being named in \"targets\": take it out there", measure));
    }
    job.targets.push_back({*d, value});
    return Done{};
  };
  for (const std::string& measure : spec.targets) {
    const std::optional<double> value = asked(measure);
    if (!value)
      return Problem{
          Trouble::kBadValue, fmt::format("the style has no measure '{}' for the last", measure), {}, {}, {}};
    if (job.unlike.contains(measure)) {
      return Problem{Trouble::kBadValue,
                     fmt::format("'{}' cannot be a target: the table takes it by {}, the last by {}", measure,
                                 spec.table_definitions.at(measure), definition_of(base, measure)->id()),
                     {},
                     {},
                     {}};
    }
    if (Status s = drive(measure, *value); !s) return s.problem();
  }
  const double toe = base_value(base, "toe thickness");
  if (Status s =
          drive("toe thickness", spec.toe_thickness ? toe + change(*spec.toe_thickness, job) : toe * girth);
      !s) {
    return s.problem();
  }
  if (spec.bottom_follows_style) {
    for (const auto& [width, girth_name] :
         {std::pair{"waist width", "waist girth"}, {"instep width", "instep girth"}}) {
      const Result<double> share = bottom_share(style, table, girth_name, base.at, at, job.measures);
      if (!share) return share.problem();
      if (Status s = drive(width, base_value(base, width) + *share); !s) return s.problem();
    }
  }
  return job;
}

Result<Fit> solve_job(const BaseLast& base, const LastJob& job) {
  Result<Fit> fit = fit_targets(base.body, base.landmarks, job.prior, job.targets);
  if (!fit) return at_cell(fit.problem(), job.at);
  return fit;
}

Result<BodyPlan> plan_body(const BaseLast& base, const std::vector<const LastJob*>& jobs, double refit) {
  // The corners of the run in sizes and widths bound what
  // lies between: fields move almost linearly with the steps.
  std::vector<const LastJob*> corners;
  for (const Vec2 way : {Vec2{-1.0, -1.0}, {-1.0, 1.0}, {1.0, -1.0}, {1.0, 1.0}}) {
    const auto further = [way](const LastJob* a, const LastJob* b) {
      return way.x * a->size_steps + way.y * a->width_steps < way.x * b->size_steps + way.y * b->width_steps;
    };
    corners.push_back(*std::max_element(jobs.begin(), jobs.end(), further));
  }
  std::vector<AxisMap> maps;
  std::optional<Problem> unsolved;
  for (const LastJob* job : corners) {
    const Result<Fit> fit = solve_job(base, *job);
    if (fit)
      maps.push_back(fit->map);
    else
      unsolved = fit.problem();
  }
  if (maps.empty()) return *unsolved;
  std::vector<const SpaceMap*> extremes;
  for (const AxisMap& map : maps) extremes.push_back(&map);
  return BodyPlan(base.body, extremes, refit);
}

Result<GradedLast> grade_last(const BaseLast& base, const BodyPlan& plan, const LastJob& job,
                              const MeasureTable& table, const LastRunOptions& options) {
  const Result<Fit> fit = solve_job(base, job);
  if (!fit) return fit.problem();
  GradedLast last;
  last.at = job.at;
  last.map = fit->map;
  last.steps = fit->steps;
  last.soundness = judge(fit->map, job.prior, base.body, base.lines, options.sound);
  if (options.gates && !last.soundness.failures.empty())
    return at_cell(last.soundness.failures.front(), job.at);
  last.body = plan.image(fit->map, last.refit_error);
  // The knots were chosen on the corners of the run; twice the tolerance is the most that may slip between
  // them.
  // Of a mesh it is how far its flat triangles lie off what the map makes of them: told, not judged.
  if (!base.body.facets && !(last.refit_error <= 2.0 * options.refit)) {
    return at_cell({Trouble::kGeometry,
                    "the refitted last leaves the exact one",
                    {},
                    last.refit_error,
                    2.0 * options.refit},
                   job.at);
  }
  const Form form = make_form(last.body);
  for (const MeasureDefinition& d : base.definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    if (!m) return at_cell(m.problem(), job.at);
    last.values.push_back(*m);
    const std::optional<std::size_t> i = table.index(d.measure);
    // A style's back height is the upper's, to its top line; the last's is another measure of the same name.
    const bool comparable = i && d.measure != "back height" && !job.unlike.contains(d.measure);
    last.asked.push_back(comparable ? table.value(*i, job.at) : std::numeric_limits<double>::quiet_NaN());
  }
  for (const MeasureTarget& target : job.targets) {
    const Result<Measured> m = measure(target.definition, form, base.landmarks);
    if (!m) return at_cell(m.problem(), job.at);
    const double miss = std::abs(m->value - target.value);
    if (!(miss <= last.worst_target)) last.worst_target = miss;
    if (!(miss <= options.girth_limit)) {
      return at_cell({Trouble::kCheck,
                      fmt::format("{} of the written last misses its target", target.definition.measure),
                      {},
                      miss,
                      options.girth_limit},
                     job.at);
    }
  }
  return last;
}

}  // namespace lastwright
