// Grades a base last to every size and width: targets from the measure table, own rules, gates, exact refit,
// measured on what will be written.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "geometry/solid/body_plan.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/fit_targets.hpp"
#include "grading/measures/measure_table.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// What one size and width asks of its base.
struct LastJob {
  SizeWidth at;
  std::size_t base = 0;     // index into the run's bases
  double size_steps = 0.0;  // from that base
  double width_steps = 0.0;
  bool beyond = false;  // farther from its base than one last carries soundly
  AxisMap prior;        // the proportional grade with the own rules in it
  std::vector<MeasureTarget> targets;
  std::set<std::string> measures;  // of the table, that the grade takes its values from
  std::set<std::string> unlike;    // measures that the table takes by another definition than the last
};

struct GradedLast {
  SizeWidth at;
  AxisMap map;
  Body body;                     // the refitted form
  std::vector<Measured> values;  // on that form, in the order of the base's definitions
  std::vector<double> asked;     // from the table; NaN where it says nothing or the definition is another
  double worst_target = 0.0;     // largest miss of a driven measure on the refitted form, mm
  double refit_error = 0.0;
  int steps = 0;
  Soundness soundness;
};

struct LastRunOptions {
  double refit = 2e-3;        // mm: the refitted form against the exact map
  double girth_limit = 0.01;  // mm: driven measures on the refitted form against the table
  SoundnessLimits sound;
  bool gates = true;  // false: what the gates find is told in `soundness` and refuses nothing
};

// Plans a job. The style gives the bottom forme's shares where the last file says that the bottom follows it.
Result<LastJob> plan_job(const std::vector<BaseLast>& bases, const LastSpec& spec, const MeasureTable& table,
                         const StyleSpec& style, const SizeWidth& at);

// Solves a job; no refit yet.
Result<Fit> solve_job(const BaseLast& base, const LastJob& job);

// Solves, judges, refits and measures. Refuses what the gates refuse, naming size, width and station.
Result<GradedLast> grade_last(const BaseLast& base, const BodyPlan& plan, const LastJob& job,
                              const MeasureTable& table, const LastRunOptions& options);

// Knots for all jobs of one base, from the corners of the run.
Result<BodyPlan> plan_body(const BaseLast& base, const std::vector<const LastJob*>& jobs, double refit);

}  // namespace lastwright
