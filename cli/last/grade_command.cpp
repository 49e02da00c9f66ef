#include <fmt/format.h>

#include <chrono>
#include <memory>

#include "cli/last/commands.hpp"
#include "cli/last/last_report.hpp"
#include "cli/last/last_set.hpp"
#include "cli/output_set.hpp"

namespace lastwright {

namespace {

struct GradeOptions {
  std::string file;
  std::string out;
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  LastSetOptions set;
  bool force = false;
};

ExitCode run_grade(const GradeOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  Result<LastSet> set = load_last_set(options.file, options.sizes, options.widths, options.set);
  if (!set) return report(set.problem());
  Result<OutputSet> out = OutputSet::begin(options.out, {.force = options.force, .inputs = inputs_of(*set)});
  if (!out) return report(out.problem());
  const FileSink sink = [&](std::string_view name, std::string_view bytes) { return out->add(name, bytes); };
  if (Status graded = grade_last_set(*set, options.set, sink); !graded) return report(graded.problem());
  const Result<WrittenSet> written = out->commit();
  if (!written) return report(written.problem());
  print_summary(*set, options.out);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  fmt::print("{} lasts in {:.1f} s: {} files, {:.1f} MB\n", set->results.size(), took.count(), written->files,
             static_cast<double>(written->bytes) / 1e6);
  return set->failures.empty() ? ExitCode::kOk : ExitCode::kCannotGrade;
}

}  // namespace

void add_last_grade(Program& app, Action& action) {
  const auto options = std::make_shared<GradeOptions>();
  Command* command = app.add_subcommand("grade", "Grades a last to every size and width of its style");
  command->add_option("last", options->file, "the last's file (JSON): bases, targets, own rules")->required();
  command->add_option("--out", options->out, "folder to write into")->required();
  command->add_option("--sizes", options->sizes, "only these sizes")->delimiter(',');
  command->add_option("--widths", options->widths, "only these widths")->delimiter(',');
  command->add_option("--threads", options->set.threads, "0: one per core")->capture_default_str();
  command->add_option("--refit", options->set.run.refit, "how closely surfaces follow the exact grade, mm")
      ->check(within(1e-4, 0.05))
      ->capture_default_str();
  command->add_flag("--stl", options->set.stl, "also write an STL mesh of each last");
  command->add_flag("--reread", options->set.reread,
                    "read each STEP file back with the solid kernel and measure it again");
  command->add_flag("--keep-going", options->set.keep_going,
                    "grade what can be graded; list what the gates refuse");
  command->add_flag("--force", options->force, "replace the set of an earlier run");
  command->callback([options, &action] { action = [options] { return run_grade(*options); }; });
}

}  // namespace lastwright
