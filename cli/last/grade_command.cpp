#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <memory>

#include "cli/last/commands.hpp"
#include "cli/last/last_report.hpp"
#include "cli/last/last_set.hpp"

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

Status write_into(const std::string& folder, bool force, const std::vector<NamedBytes>& files) {
  namespace fs = std::filesystem;
  std::error_code error;
  if (fs::exists(folder, error) && !force) {
    return Problem{Trouble::kWouldReplace, "the folder exists; --force replaces the files in it", {}, {}, {}}
        .in_file(folder);
  }
  fs::create_directories(folder, error);
  for (const NamedBytes& file : files) {
    const fs::path target = fs::path(folder) / file.name;
    fs::create_directories(target.parent_path(), error);
    const fs::path half = target.string() + ".part";
    {
      std::ofstream stream(half, std::ios::binary);
      stream.write(file.bytes.data(), static_cast<std::streamsize>(file.bytes.size()));
      stream.close();
      if (!stream)
        return Problem{Trouble::kFileSystem, "the file cannot be written", {}, {}, {}}.in_file(
            target.string());
    }
    fs::rename(half, target, error);
    if (error) return Problem{Trouble::kFileSystem, error.message(), {}, {}, {}}.in_file(target.string());
  }
  return Done{};
}

ExitCode run_grade(const GradeOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  Result<LastSet> set = load_last_set(options.file, options.sizes, options.widths, options.set);
  if (!set) return report(set.problem());
  const Result<std::vector<NamedBytes>> files = grade_last_set(*set, options.set);
  if (!files) return report(files.problem());
  if (Status written = write_into(options.out, options.force, *files); !written)
    return report(written.problem());
  print_summary(*set, options.out);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  fmt::print("{} lasts in {:.1f} s\n", set->results.size(), took.count());
  return set->failures.empty() ? ExitCode::kOk : ExitCode::kCannotGrade;
}

}  // namespace

void add_grade(CLI::App& app, Action& action) {
  const auto options = std::make_shared<GradeOptions>();
  CLI::App* command = app.add_subcommand("grade", "Grades a last to every size and width of its style");
  command->add_option("last", options->file, "the last's file (JSON): bases, targets, own rules")->required();
  command->add_option("--out", options->out, "folder to write into")->required();
  command->add_option("--sizes", options->sizes, "only these sizes")->delimiter(',');
  command->add_option("--widths", options->widths, "only these widths")->delimiter(',');
  command->add_option("--threads", options->set.threads, "0: one per core")->capture_default_str();
  command->add_option("--refit", options->set.run.refit, "how closely surfaces follow the exact grade, mm")
      ->check(CLI::Range(1e-4, 0.05))
      ->capture_default_str();
  command->add_flag("--stl", options->set.stl, "also write an STL mesh of each last");
  command->add_flag("--reread", options->set.reread,
                    "read each STEP file back with the solid kernel and measure it again");
  command->add_flag("--keep-going", options->set.keep_going,
                    "grade what can be graded; list what the gates refuse");
  command->add_flag("--force", options->force, "replace files of an earlier run");
  command->callback([options, &action] { action = [options] { return run_grade(*options); }; });
}

}  // namespace lastwright
