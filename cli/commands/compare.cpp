#include "cli/commands/compare.hpp"

#include <memory>
#include <utility>

#include "cli/files/write_file.hpp"
#include "cli/print.hpp"
#include "cli/redraw/compare_report.hpp"
#include "cli/style_options.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/json/json_text.hpp"
#include "grading/redraw/style_compare.hpp"

namespace lastwright {

namespace {

struct CompareCommand {
  std::string was;
  std::string now;
  LoadStyleOptions files;
  std::string out;
  double tolerance = CompareOptions{}.tolerance.value();
  bool json = false;
  bool force = false;
  unsigned threads = 0;
};

struct Version {
  Json document;
  LoadedStyle style;
  std::optional<StyleGrade> grade;
};

// The exit code where there is no version to compare.
std::optional<ExitCode> load(const std::string& file, const CompareCommand& command, Version& into) {
  const Result<std::string> text = read_file(file, std::size_t{16} << 20);
  if (!text) return print_problem(text.problem());
  Result<JsonDocument> document = parse_json(*text, file);
  if (!document) return print_problem(document.problem());
  into.document = std::move(document->root);
  Checked<LoadedStyle> load = load_style_text(file, *text, command.files);
  if (!load.ok()) return print_problems(load.problems());
  into.style = *std::move(load);
  Result<StyleGrade> grade = grade_style(into.style.spec, into.style.measures, into.style.run,
                                         into.style.pieces, {}, command.threads);
  if (!grade) return print_problem(grade.problem().in_file(file));
  into.grade = *std::move(grade);
  return std::nullopt;
}

ExitCode run_compare(const CompareCommand& command) {
  Version was;
  Version now;
  if (const auto failed = load(command.was, command, was)) return *failed;
  if (const auto failed = load(command.now, command, now)) return *failed;
  std::vector<std::string> inputs = was.style.inputs;
  inputs.insert(inputs.end(), now.style.inputs.begin(), now.style.inputs.end());
  const OutputOptions page{.force = command.force, .inputs = inputs};
  if (!command.out.empty()) {
    if (const Status free = may_write_file(command.out, page); !free) return print_problem(free.problem());
  }
  Result<StyleCompare> compare = compare_versions(was.style, *was.grade, now.style, *now.grade,
                                                  {Millimetres(command.tolerance), command.threads});
  if (!compare) return print_problem(compare.problem());
  compare->stated = stated_differences(was.document, now.document);
  const CompareNames names{command.was, command.now};
  if (!command.out.empty()) {
    const Status written = write_file_whole(command.out, compare_page(*compare, names),
                                            {.force = command.force, .inputs = inputs});
    if (!written) return print_problem(written.problem());
    if (command.out == "-") return ExitCode::kOk;
  }
  return command.json ? print_result(compare_json(*compare, names))
                      : print_summary(compare_text(*compare, names));
}

}  // namespace

void add_compare(Program& app, Action& action) {
  auto command = std::make_shared<CompareCommand>();
  Command* sub = app.add_subcommand(
      "compare", "Say what differs between two versions of a style, size by size, and which dies stay good");
  sub->add_option("was", command->was, "the style file as it was")->required();
  sub->add_option("now", command->now, "the style file as it is now")->required();
  sub->add_option("--out", command->out, "write an HTML page FILE with figures and pictures");
  sub->add_option("--tolerance", command->tolerance,
                  "how far, in mm, an outline may deviate from the old die, laid as well as possible, for "
                  "that die to stay good")
      ->check(within(0.001, 20.0))
      ->capture_default_str();
  sub->add_flag("--json", command->json, "print the differences as JSON");
  sub->add_flag("--force", command->force, "replace an existing page");
  sub->add_option("--threads", command->threads,
                  "worker threads; 0: one per core. The results do not depend on it");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_compare(*command); }; });
}

}  // namespace lastwright
