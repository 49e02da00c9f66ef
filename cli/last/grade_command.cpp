#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <memory>

#include "cli/files/output_set.hpp"
#include "cli/files/safe_name.hpp"
#include "cli/last/commands.hpp"
#include "cli/last/last_report.hpp"
#include "geometry/counted.hpp"
#include "geometry/solid/mesh_apart.hpp"
#include "geometry/solid/mesh_write.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/last_set.hpp"

namespace lastwright {

namespace {

struct GradeOptions {
  std::string file;
  std::string out;
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  LastSetOptions set;
  bool reread = false;  // every STEP file through the kernel again: valid, closed, girths within the limit
  bool force = false;
};

// The files of one graded last, and its part of the picture.
Status put_last(const LastSet& set, std::size_t i, const GradedLast& last, const GradeOptions& options,
                OutputSet& out, LastRunExtra& extra) {
  const LastJob& job = set.jobs[i];
  const BaseLast& base = set.bases[job.base];
  const std::optional<BaseMesh>& kind = set.mesh_files[job.base];
  const double unit = kind ? kind->millimetres : 1.0;
  const PlainMesh mesh =
      kind || options.set.stl ? apart_in_file(graded_mesh(set, job, last), unit) : PlainMesh{};
  const Result<std::string> text =
      kind ? Result<std::string>(
                 write_mesh(mesh, kind->format, unit, fmt::format("last {}", label_of(job.at))))
           : write_step(last.body, {fmt::format("last {}", label_of(job.at)), "graded last"});
  if (!text) return text.problem();
  const auto at_job = [&](const Problem& problem) {
    return problem.in("width", job.at.width.label).in("size", job.at.size.label);
  };
  if (kind) {
    if (Status closed = closes_again(*text, unit); !closed) return at_job(closed.problem());
  }
  if (options.reread) {
    const double limit = options.set.run.girth_limit;
    const Result<double> worst =
        kind ? read_back_mesh(set, job, last, *text, limit) : read_back(base, job, *text, limit);
    if (!worst) return at_job(worst.problem());
    extra.reread[i] = *worst;
  }
  std::string stl;  // beside a file of another kind
  if (options.set.stl && !(kind && kind->format.kind == MeshKind::kStl)) {
    stl = write_stl(unit == 1.0 ? mesh : apart_in_file(graded_mesh(set, job, last), 1.0), label_of(job.at));
    if (Status closed = closes_again(stl, 1.0); !closed) return at_job(closed.problem());
  }
  if (Status put = out.add(last_file_name(set, job), *text); !put) return put;
  const SizeWidth& home = set.style.measures.base().at;
  const bool base_size = job.at.size.position == home.size.position;
  const bool base_width = job.at.width.position == home.width.position;
  if (base_size || base_width) {
    extra.nest[i] = nest_lines(base, last, base_width, base_size);
    for (const MeshNode& n : last.body.mesh.nodes) extra.tallest[i] = std::max(extra.tallest[i], n.point.z);
  }
  extra.outlines[i] = outlines_row(base, last);
  if (stl.empty()) return Done{};
  return out.add("meshes/" + safe_name(label_of(job.at)) + ".stl", stl);
}

Status put_tables(const LastSet& set, OutputSet& out, const LastRunExtra& extra) {
  if (Status put = out.add("measures.csv", measures_csv(set)); !put) return put;
  if (Status put = out.add("ties.csv", ties_csv(set)); !put) return put;
  if (Status put = out.add("lasts.json", lasts_json(set, extra)); !put) return put;
  if (Status put = out.add("outlines.json", outlines_json(set, extra)); !put) return put;
  return out.add("nest.svg", nest_svg(set, extra));
}

ExitCode run_grade(const GradeOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  Checked<LastSet> load = load_last_set(options.file, options.sizes, options.widths, options.set);
  if (!load.ok()) return report(load.problems());
  LastSet& set = *load;
  Result<OutputSet> out = OutputSet::begin(options.out, {.force = options.force, .inputs = inputs_of(set)});
  if (!out) return report(out.problem());
  LastRunExtra extra{std::vector<std::string>(set.jobs.size()), std::vector<std::string>(set.jobs.size()),
                     std::vector<double>(set.jobs.size(), -1.0), std::vector<double>(set.jobs.size(), 0.0)};
  const GradedSink sink = [&](std::size_t i, const GradedLast& last) {
    return put_last(set, i, last, options, *out, extra);
  };
  if (Status graded = grade_last_set(set, options.set, sink); !graded)
    return refused_run(set, graded.problem());
  if (Status put = put_tables(set, *out, extra); !put) return report(put.problem());
  const Result<WrittenSet> written = out->commit();
  if (!written) return report(written.problem());
  print_summary(set, extra, options.out);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  fmt::print("{} in {:.1f} s: {}, {:.1f} MB\n", counted(set.results.size(), "last"), took.count(),
             counted(written->files, "file"), static_cast<double>(written->bytes) / 1e6);
  return end_of_run(set);
}

}  // namespace

void add_last_grade(Program& app, Action& action) {
  const auto options = std::make_shared<GradeOptions>();
  Command* command = app.add_subcommand("grade", "Grade a last to every size and width of its style");
  command->add_option("last", options->file, "the last's file (JSON): bases, targets, own rules")->required();
  command->add_option("--out", options->out, "folder to write into")->required();
  command->add_option("--sizes", options->sizes, "only these sizes")->delimiter(',');
  command->add_option("--widths", options->widths, "only these widths")->delimiter(',');
  command->add_option("--threads", options->set.threads, "worker threads; 0: one per core")
      ->capture_default_str();
  command->add_option("--refit", options->set.run.refit, "how closely surfaces follow the exact grade, mm")
      ->check(within(1e-4, 0.05))
      ->capture_default_str();
  command->add_flag("--stl", options->set.stl, "also write an STL mesh of each last");
  command->add_flag("--reread", options->reread,
                    "read each STEP file back with the solid kernel and measure it again");
  command->add_flag("--keep-going", options->set.keep_going,
                    "grade what can be graded; list what is refused");
  command->add_flag("--force", options->force, "replace the set of an earlier run");
  command->callback([options, &action] { action = [options] { return run_grade(*options); }; });
}

}  // namespace lastwright
