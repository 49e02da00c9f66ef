#include "grading/lasts/last_set.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/parallel.hpp"
#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/solid_file.hpp"
#include "grading/lasts/axes_doubt.hpp"
#include "grading/lasts/base_pips.hpp"
#include "grading/lasts/roles.hpp"
#include "grading/lasts/style_told.hpp"
#include "grading/lasts/ties.hpp"

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

Result<BaseLast> load_solid(const std::string& bytes, const LastPoseChoice& pose, LastSet& set,
                            const LastSetOptions& options) {
  Result<KernelShape> shape = read_shape(bytes);
  if (!shape) return shape.problem();
  Result<Body> body = body_of_last(*shape, pose);
  if (!body) return body.problem();
  Result<BaseLast> base = make_base_last(std::move(*body), pose, set.spec.landmarks);
  if (!base) return base;
  if (options.fine > 0.0) {
    Result<Body> fine = fine_body(*shape, *base, options.fine);
    if (!fine) return fine.problem();
    set.fine.push_back(std::move(*fine));
  }
  PlainMesh mesh;
  if (options.stl) {
    Result<PlainMesh> made = stl_mesh(*shape, base->standing.motion);
    if (!made) return made.problem();
    mesh = std::move(*made);
  }
  set.meshes.push_back(std::move(mesh));
  set.mesh_files.emplace_back();
  return base;
}

Result<BaseLast> load_mesh(const std::string& bytes, const std::string& unit, const LastPoseChoice& pose,
                           LastSet& set, const LastSetOptions& options) {
  const Result<StlRead> read = read_mesh_in(bytes, unit,
                                            "STL, PLY and OBJ files have no unit: say it in the last's file, "
                                            "\"unit\": \"mm\", \"cm\", \"m\" or \"in\"");
  if (!read) {
    Problem problem = read.problem();
    if (problem.trouble == Trouble::kUsage)
      problem.trouble = Trouble::kBadValue;  // of the file, not the command
    return problem;
  }
  Result<Body> body = mesh_body(read->mesh);
  if (!body) return body.problem();
  if (Status named = name_bottom(*body, pose.bottom); !named) return named.problem();
  const double rough = roughness(*body);
  if (rough > kRoughestBase) {
    return Problem{
        Trouble::kGeometry,
        fmt::format(
            "the mesh is too rough to be a base: the tape round it reads high by up to about {:.2f} mm, and "
            "every size would come out so much too small; smooth the scan, or give a finer mesh "
            "(standard deviation of its corners, mm)",
            kTapePerRough * rough),
        {},
        rough,
        kRoughestBase};
  }
  const std::vector<MeshPip> pips = pips_of(*body, rough);
  const PlainMesh mended = pips.empty() ? PlainMesh{} : without_pips(*body, pips);
  PlainMesh mesh = facet_mesh(*body);
  Result<BaseLast> base = make_base_last(std::move(*body), pose, set.spec.landmarks);
  if (!base && !pips.empty()) {
    Problem problem = base.problem();
    problem.message += "; " + told_of(pips);
    return problem;
  }
  if (!base) return base;
  if (!pips.empty()) {
    Result<std::string> told = told_pips(*base, pips, mended, pose, set.spec.landmarks);
    if (!told) return told.problem();
    base->body.notes.push_back(*std::move(told));
  }
  for (Vec3& p : mesh.points) p = base->standing.motion(p);
  for (const std::string& note : read->notes) base->body.notes.push_back(note);
  if (rough > kRough) base->body.notes.push_back(told_roughness(rough) + ", in every size");
  base->body.notes.push_back(
      fmt::format("base {}: graded on its triangles, which lie {:.3f} mm inside a smooth last in the mean "
                  "where they are its "
                  "chords",
                  name_of(mesh_kind(bytes)), chord_depth(base->body)));
  if (options.fine > 0.0) set.fine.push_back(base->body);
  set.meshes.push_back(std::move(mesh));
  set.mesh_files.push_back(BaseMesh{mesh_format(bytes), read->millimetres});
  return base;
}

Result<BaseLast> load_base(const std::string& path, const LastBase& one, LastSet& set,
                           const LastSetOptions& options) {
  const Result<std::string> bytes = read_solid_bytes(path);
  if (!bytes) return bytes.problem();
  const LastPoseChoice pose{one.heel_height, one.axes, one.bottom, set.spec.foot};
  Result<BaseLast> base = is_solid(*bytes) ? load_solid(*bytes, pose, set, options)
                                           : load_mesh(*bytes, one.unit, pose, set, options);
  if (!base) return base.problem().in_file(path);
  const std::string& against = base->standing.against_axes;
  if (base->standing.foot_by == FootBy::kDoubt && !against.empty()) {
    return Problem{Trouble::kGeometry,
                   fmt::format("{}; as it lies whether it is a left or a right last cannot be told: mend or "
                               "leave out \"axes\" of this base in {}",
                               against, set.file),
                   {},
                   {},
                   {}}
        .in_file(path);
  }
  if (base->standing.foot_by == FootBy::kDoubt) {
    return Problem{
        Trouble::kGeometry,
        fmt::format("its form does not tell whether it is a left or a right last: {}. Say \"foot\": "
                    "\"left\" or \"right\" in {}",
                    told_of(base->standing.foot_signs), set.file),
        {},
        {},
        {}}
        .in_file(path);
  }
  if (std::optional<std::string> told = told_spread(*base, set.spec.landmarks))
    base->body.notes.push_back(*told);
  const Result<Size> size = set.style.scale.size(one.size);
  if (!size) return size.problem().in_file(set.file);
  const Result<Width> width = set.style.ladder.width(one.width);
  if (!width) return width.problem().in_file(set.file);
  base->at = {*size, *width};
  set.on_table.push_back(
      base_on_table(*base, set.spec, set.style, spread_of_pitch(*base, set.spec.landmarks)));
  if (!set.on_table.back().good()) base->body.notes.push_back(told_of(*base, set.on_table.back()));
  return base;
}

// The last base read against the first: one run is graded for one foot.
Status of_one_foot(const LastSet& set) {
  const LastFoot first = set.bases.front().standing.foot;
  if (set.bases.back().standing.foot == first) return Done{};
  const std::size_t i = set.bases.size() - 1;
  Problem problem{
      Trouble::kBadValue,
      fmt::format("{} is a {} last and {} a {} one: the bases of a run are all of one foot; mirror "
                  "one of them, or give each foot a file of its own",
                  set.spec.bases.front().file, name_of(first), set.spec.bases[i].file,
                  name_of(other_foot(first))),
      {},
      {},
      {}};
  problem.place.file = set.file;
  problem.place.pointer = fmt::format("/bases/{}/file", i);
  return problem;
}

Result<double> worst_target(const BaseLast& base, const LastJob& job, const Body& body, double limit) {
  const Form form = make_form(body);
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

Status plan_jobs(LastSet& set, const std::vector<std::string>& sizes,
                 const std::vector<std::string>& widths) {
  const Result<SizeRun> part = set.style.run.part(sizes, widths);
  if (!part) return part.problem();
  for (const SizeWidth& at : part->cells()) {
    Result<LastJob> job = plan_job(set.bases, set.spec, set.style.measures, set.style.spec, at);
    if (!job) return job.problem().in_file(set.file);
    set.jobs.push_back(std::move(*job));
  }
  for (const SizeWidth& at : set.style.run.cells()) {
    // One that cannot be planned bounds nothing; where it was asked for, the loop above has refused it.
    Result<LastJob> job = plan_job(set.bases, set.spec, set.style.measures, set.style.spec, at);
    if (job) set.jobs_of_run.push_back(std::move(*job));
  }
  return Done{};
}

}  // namespace

Result<Body> fine_body(const KernelShape& shape, const BaseLast& base, double deflection) {
  Result<Body> fine = to_body(shape, deflection);
  if (!fine) return fine;
  move(*fine, base.standing.motion);
  for (std::size_t f = 0; f < fine->faces.size(); ++f) fine->faces[f].role = base.body.faces[f].role;
  return fine;
}

Checked<LastSet> load_last_set(const std::string& file, const std::vector<std::string>& sizes,
                               const std::vector<std::string>& widths, const LastSetOptions& options) {
  const Result<std::string> text = read_solid_bytes(file);
  if (!text) return text.problem();
  Result<LastSpec> spec = read_last_spec(*text, file);
  if (!spec) return spec.problem();
  const std::string style_file = file_beside(file, spec->style);
  Checked<LoadedStyle> style =
      load_style(style_file, {.tables = {}, .drawings = false, .unit = {}, .limits = {}});
  if (!style.ok()) return style.problems();
  if (const Status roles = girths_have_roles(style->spec); !roles) return roles.problem().in_file(style_file);
  LastSet set{file, std::move(*spec), *std::move(style), {}, {}, {}, {}, {}, {}, {}, {}};
  for (const LastBase& one : set.spec.bases) {
    Result<BaseLast> base = load_base(file_beside(file, one.file), one, set, options);
    if (!base) return base.problem();
    set.bases.push_back(std::move(*base));
    if (const Status alike = of_one_foot(set); !alike) return alike.problem();
  }
  if (const Status planned = plan_jobs(set, sizes, widths); !planned) return planned.problem();
  for (std::string& note : told_of_style(set.style, style_file))
    set.bases.front().body.notes.push_back(std::move(note));
  return set;
}

std::vector<std::string> failed_bases(const LastSet& set) {
  std::vector<std::string> failed;
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    if (!set.on_table[b].failed()) continue;
    failed.push_back(
        fmt::format("base {} does not have the measures that the table asks of its own size and width",
                    label_of(set.bases[b].at)));
  }
  return failed;
}

std::vector<std::string> inputs_of(const LastSet& set) {
  std::vector<std::string> files = set.style.inputs;
  files.push_back(set.file);
  for (const LastBase& base : set.spec.bases) files.push_back(file_beside(set.file, base.file));
  return files;
}

Result<BodyPlan> plan_of_base(const LastSet& set, std::size_t base, const LastRunOptions& options) {
  std::vector<const LastJob*> jobs;
  for (const LastJob& job : set.jobs_of_run) {
    if (job.base == base) jobs.push_back(&job);
  }
  return plan_body(set.bases[base], jobs, options.refit);
}

namespace {

// What was moved by hand is the first thing to look at where a grade is refused.
Problem moved_landmarks(Problem problem, const LastSpec& spec) {
  std::string moved;
  for (const auto& [name, choice] : spec.landmarks) {
    const double* share = std::get_if<double>(&choice);
    moved +=
        fmt::format("{}'{}' to {}", moved.empty() ? "" : ", ", name,
                    share ? fmt::format("{:g} of the length", *share) : std::string("a place in a face"));
  }
  if (!moved.empty()) problem.message += "; landmarks were moved by hand: " + moved;
  return problem;
}

}  // namespace

Status grade_last_set(LastSet& set, const LastSetOptions& options, const GradedSink& sink) {
  std::vector<std::optional<BodyPlan>> plans(set.bases.size());
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    const auto of_base = [b](const LastJob& job) { return job.base == b; };
    if (std::none_of(set.jobs.begin(), set.jobs.end(), of_base)) continue;
    Result<BodyPlan> plan = plan_of_base(set, b, options.run);
    if (!plan) {
      // No corner of the run can be made: what is asked for is named, not a corner that nobody asked for.
      const auto asked = std::find_if(set.jobs.begin(), set.jobs.end(), of_base);
      const Result<Fit> fit = solve_job(set.bases[b], *asked);
      return with_axes_doubt(moved_landmarks(fit ? plan.problem() : fit.problem(), set.spec),
                             set.bases[b].standing.against_axes);
    }
    plans[b].emplace(std::move(*plan));
  }
  struct Slot {
    std::optional<LastResult> result;
    std::optional<Problem> failure;
  };
  std::vector<Slot> slots(set.jobs.size());
  const auto grade_one = [&](std::size_t i) -> Status {
    const LastJob& job = set.jobs[i];
    Result<GradedLast> last =
        grade_last(set.bases[job.base], *plans[job.base], job, set.style.measures, options.run);
    if (!last) {
      slots[i].failure = with_axes_doubt(moved_landmarks(last.problem(), set.spec),
                                         set.bases[job.base].standing.against_axes);
      if (options.keep_going) return Done{};
      return *slots[i].failure;
    }
    if (Status taken = sink(i, *last); !taken) {
      if (!options.keep_going || taken.problem().trouble != Trouble::kCheck) return taken;
      slots[i].failure = taken.problem();
      return Done{};
    }
    slots[i].result = LastResult{i,
                                 job.at,
                                 job.base,
                                 job.beyond,
                                 std::move(last->values),
                                 std::move(last->asked),
                                 last->worst_target,
                                 last->refit_error,
                                 last->steps,
                                 std::move(last->soundness)};
    return Done{};
  };
  if (Status done = run_jobs(set.jobs.size(), options.threads, grade_one); !done) return done.problem();
  for (Slot& slot : slots) {
    if (slot.failure) set.failures.push_back(std::move(*slot.failure));
    if (slot.result) set.results.push_back(std::move(*slot.result));
  }
  return Done{};
}

Result<double> read_back(const BaseLast& base, const LastJob& job, const std::string& step, double limit) {
  const Result<KernelShape> shape = read_step(step);
  if (!shape) return shape.problem();
  const Result<KernelOpinion> opinion = check(*shape);
  if (!opinion) return opinion.problem();
  if (!opinion->valid || !opinion->closed) {
    return Problem{
        Trouble::kCheck, "the solid kernel says that the last as written is not valid", {}, {}, {}};
  }
  Result<Body> body = to_body(*shape, kMeasuringMesh);
  if (!body) return body.problem();
  if (body->faces.size() != base.body.faces.size()) {
    return Problem{Trouble::kCheck, "the written last has other faces than its base", {}, {}, {}};
  }
  return worst_target(base, job, *body, limit);
}

PlainMesh graded_mesh(const LastSet& set, const LastJob& job, const GradedLast& last) {
  PlainMesh mesh = set.meshes[job.base];
  for (Vec3& p : mesh.points) p = last.map(p);
  return mesh;
}

Result<double> read_back_mesh(const LastSet& set, const LastJob& job, const GradedLast& last,
                              const std::string& bytes, double limit) {
  const BaseLast& base = set.bases[job.base];
  const Result<StlRead> read = read_mesh(bytes, set.mesh_files[job.base]->millimetres);
  if (!read) return read.problem();
  const PlainMesh written = graded_mesh(set, job, last);
  if (read->open_sides > 0 || read->mesh.triangles.size() != written.triangles.size())
    return Problem{
        Trouble::kCheck, "the written mesh does not close, or has other triangles than its base", {}, {}, {}};
  // Triangles keep their order, corners are numbered as they come: each goes back to its place.
  Body body = last.body;
  for (std::size_t i = 0; i < written.triangles.size(); ++i) {
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 p = read->mesh.points[read->mesh.triangles[i][k]];
      body.mesh.nodes[written.triangles[i][k]].point = p;
    }
  }
  return worst_target(base, job, body, limit);
}

}  // namespace lastwright
