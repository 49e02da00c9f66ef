#include "cli/last/last_set.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "cli/kernel_time.hpp"
#include "cli/last/last_report.hpp"
#include "cli/safe_name.hpp"
#include "geometry/last/step_write.hpp"
#include "geometry/last/stl.hpp"
#include "geometry/parallel.hpp"

namespace lastwright {

namespace {

constexpr double kStlMesh =
    0.02;  // mm: a coarser mesh reads a girth low by more than a tenth of the tolerance

Result<PlainMesh> stl_mesh(const KernelShape& shape, const Motion& motion) {
  Result<Body> fine = to_body(shape, kStlMesh);
  if (!fine) return fine.problem();
  move(*fine, motion);
  return plain_mesh(*fine);
}

// Reads a written last with the kernel and measures the targets again, at the same (face, u, v).
Result<double> read_back(const BaseLast& base, const LastJob& job, const std::string& step, double limit) {
  const Result<KernelShape> shape = read_step(step);
  if (!shape) return shape.problem();
  const Result<KernelOpinion> opinion = check(*shape);
  if (!opinion) return opinion.problem();
  if (!opinion->valid || !opinion->closed) {
    return Problem{Trouble::kCheck, "the kernel finds the written last not valid", {}, {}, {}};
  }
  Result<Body> body = to_body(*shape, kMeasuringMesh);
  if (!body) return body.problem();
  if (body->faces.size() != base.body.faces.size()) {
    return Problem{Trouble::kCheck, "the written last has other faces than its base", {}, {}, {}};
  }
  const Form form = make_form(*body);
  double worst = 0.0;
  for (const MeasureTarget& target : job.targets) {
    const Result<Measured> m = measure(target.definition, form, base.landmarks);
    if (!m) return m.problem();
    worst = std::max(worst, std::abs(m->value - target.value));
    if (!(worst <= limit)) {
      return Problem{Trouble::kCheck,
                     fmt::format("{} of the last read back misses its target", target.definition.measure),
                     {},
                     worst,
                     limit};
    }
  }
  return worst;
}

std::string name_of(const SizeWidth& at) {
  return fmt::format("{} {}", at.size.label, at.width.label);
}

}  // namespace

Result<LastSet> load_last_set(const std::string& file, const std::vector<std::string>& sizes,
                              const std::vector<std::string>& widths, const LastSetOptions& options) {
  const Result<std::string> text = read_bytes(file);
  if (!text) return text.problem();
  Result<LastSpec> spec = read_last_spec(*text, file);
  if (!spec) return spec.problem();
  Result<StyleTables> tables = load_style_tables(beside(file, spec->style));
  if (!tables) return tables.problem();
  LastSet set{file, std::move(*spec), std::move(*tables), {}, {}, {}, {}, {}, {}};
  for (const LastBase& one : set.spec.bases) {
    const std::string path = beside(file, one.file);
    const Result<std::string> bytes = read_bytes(path);
    if (!bytes) return bytes.problem();
    const KernelTime limited(kernel_seconds(bytes->size()));
    const Result<KernelShape> shape = read_step(*bytes);
    if (!shape) return shape.problem().in_file(path);
    Result<BaseLast> base = make_base_last(*shape, one.heel_height, set.spec.landmarks);
    if (!base) return base.problem().in_file(path);
    const Result<Size> size = set.tables.scale.size(one.size);
    if (!size) return size.problem().in_file(file);
    const Result<Width> width = set.tables.ladder.width(one.width);
    if (!width) return width.problem().in_file(file);
    base->at = {*size, *width};
    if (options.stl) {
      Result<PlainMesh> mesh = stl_mesh(*shape, base->standing.motion);
      if (!mesh) return mesh.problem().in_file(path);
      set.stl_meshes.push_back(std::move(*mesh));
    }
    set.bases.push_back(std::move(*base));
  }
  const Result<SizeRun> part = set.tables.run.part(sizes, widths);
  if (!part) return part.problem();
  for (const SizeWidth& at : part->cells()) {
    Result<LastJob> job = plan_job(set.bases, set.spec, set.tables.table, set.tables.style, at);
    if (!job) return job.problem().in_file(file);
    set.jobs.push_back(std::move(*job));
  }
  for (const SizeWidth& at : set.tables.run.cells()) {
    // One that cannot be planned bounds nothing; where it was asked for, the loop above has refused it.
    Result<LastJob> job = plan_job(set.bases, set.spec, set.tables.table, set.tables.style, at);
    if (job) set.jobs_of_run.push_back(std::move(*job));
  }
  return set;
}

std::vector<std::string> inputs_of(const LastSet& set) {
  std::vector<std::string> files = set.tables.inputs;
  files.push_back(set.file);
  for (const LastBase& base : set.spec.bases) files.push_back(beside(set.file, base.file));
  return files;
}

Status grade_last_set(LastSet& set, const LastSetOptions& options, const FileSink& sink) {
  std::vector<std::optional<BodyPlan>> plans(set.bases.size());
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    const auto of_base = [b](const LastJob& job) { return job.base == b; };
    if (std::none_of(set.jobs.begin(), set.jobs.end(), of_base)) continue;
    std::vector<const LastJob*> jobs;
    for (const LastJob& job : set.jobs_of_run) {
      if (of_base(job)) jobs.push_back(&job);
    }
    Result<BodyPlan> plan = plan_body(set.bases[b], jobs, options.run.refit);
    if (!plan) return plan.problem();
    plans[b].emplace(std::move(*plan));
  }

  struct Slot {
    std::optional<LastResult> result;
    std::optional<Problem> failure;
  };
  std::vector<Slot> slots(set.jobs.size());
  const SizeWidth& style_base = set.tables.table.base().at;
  const auto grade_one = [&](std::size_t i) -> Status {
    const LastJob& job = set.jobs[i];
    const BaseLast& base = set.bases[job.base];
    Slot& slot = slots[i];
    Result<GradedLast> last = grade_last(base, *plans[job.base], job, set.tables.table, options.run);
    if (!last) {
      slot.failure = last.problem();
      if (options.keep_going) return Done{};
      return last.problem();
    }
    const Result<std::string> step =
        write_step(last->body, {fmt::format("last {}", name_of(job.at)), "graded last"});
    if (!step) return step.problem();
    LastResult result{job.at,
                      job.base,
                      job.beyond,
                      last->values,
                      last->asked,
                      last->worst_target,
                      last->refit_error,
                      -1.0,
                      last->steps,
                      last->soundness,
                      {}};
    if (options.reread) {
      const Result<double> worst = read_back(base, job, *step, options.run.girth_limit);
      if (!worst) return worst.problem().in("width", job.at.width.label).in("size", job.at.size.label);
      result.reread_worst = *worst;
    }
    const bool base_size = job.at.size.position == style_base.size.position;
    const bool base_width = job.at.width.position == style_base.width.position;
    if (base_size || base_width) result.nest = nest_lines(base, *last, base_width, base_size);
    const std::string name = safe_name(name_of(job.at));
    if (Status put = sink("steps/" + name + ".step", *step); !put) return put;
    if (options.stl) {
      PlainMesh mesh = set.stl_meshes[job.base];
      for (Vec3& p : mesh.points) p = last->map(p);
      if (Status put = sink("meshes/" + name + ".stl", write_stl(mesh, name_of(job.at))); !put) return put;
    }
    slot.result = std::move(result);
    return Done{};
  };
  if (Status done = run_jobs(set.jobs.size(), options.threads, grade_one); !done) return done.problem();

  for (Slot& slot : slots) {
    if (slot.failure) set.failures.push_back(std::move(*slot.failure));
    if (slot.result) set.results.push_back(std::move(*slot.result));
  }
  if (Status put = sink("measures.csv", measures_csv(set)); !put) return put;
  if (Status put = sink("ties.csv", ties_csv(set)); !put) return put;
  return sink("nest.svg", nest_svg(set));
}

}  // namespace lastwright
