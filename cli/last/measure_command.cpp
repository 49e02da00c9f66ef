#include <fmt/format.h>

#include <cstdio>
#include <memory>
#include <optional>

#include "cli/last/base_last.hpp"
#include "cli/last/commands.hpp"
#include "cli/print.hpp"

namespace lastwright {

namespace {

struct MeasureOptions {
  std::string file;
  std::string by = "plane-hull";
  std::optional<double> heel_height;
};

void print_values(const BaseLast& base, const std::vector<MeasureDefinition>& definitions) {
  const Form form = make_form(base.body);
  fmt::print("{:<34} {:>10} {:>10} {:>10}\n", "measure and definition", "mm", "skin", "bottom");
  for (const MeasureDefinition& d : definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    if (!m) {
      fmt::print("{:<34} {}\n", d.id(), to_text(m.problem()));
    } else if (m->skin > 0.0) {
      fmt::print("{:<34} {:>10.3f} {:>10.3f} {:>10.3f}{}\n", m->definition, m->value, m->skin, m->bottom,
                 d.method == Method::kPlaneHullTilt ? fmt::format("  tilted {:.2f} degrees", m->tilt) : "");
    } else {
      fmt::print("{:<34} {:>10.3f}\n", m->definition, m->value);
    }
  }
}

ExitCode run_measure(const MeasureOptions& options) {
  const Result<std::string> bytes = read_bytes(options.file);
  if (!bytes) return report(bytes.problem());
  const Result<KernelShape> shape = read_step(*bytes);
  if (!shape) return report(shape.problem().in_file(options.file));
  const Result<KernelOpinion> opinion = check(*shape);
  if (!opinion) return report(opinion.problem().in_file(options.file));
  const Result<BaseLast> base = make_base_last(*shape, options.heel_height, {});
  if (!base) return report(base.problem().in_file(options.file));

  fmt::print("{}: a {} last{}, {} faces, {:.0f} cm3, {}\n", options.file,
             base->standing.side == Side::kLeft ? "left" : "right",
             base->standing.side_doubt > 0.5 ? " (in doubt)" : "", base->body.faces.size(),
             opinion->volume / 1000.0, opinion->valid ? "valid" : "NOT valid by the kernel's check");
  for (const std::string& note : base->body.notes) fmt::print("note: {}\n", note);
  if (options.by == "plane-hull" || options.by == "all") print_values(*base, base->definitions);
  if (options.by == "tilt" || options.by == "all") print_values(*base, tilt_definitions());
  if (options.by == "string" || options.by == "all") print_values(*base, string_definitions());
  fmt::print("\n{:<16} {:>4} {:>11} {:>11}   {:>9} {:>9} {:>9}\n", "landmark", "face", "u", "v", "x", "y",
             "z");
  for (const auto& [name, spot] : base->landmarks) {
    const Vec3 p = base->body.at(spot).p;
    fmt::print("{:<16} {:>4} {:>11.6f} {:>11.6f}   {:>9.3f} {:>9.3f} {:>9.3f}\n", name, spot.face, spot.u,
               spot.v, p.x, p.y, p.z);
  }
  return ExitCode::kOk;
}

}  // namespace

ExitCode report(const Problem& problem) {
  std::fflush(stdout);
  return print_problem(problem);
}

void add_measure(CLI::App& app, Action& action) {
  const auto options = std::make_shared<MeasureOptions>();
  CLI::App* command =
      app.add_subcommand("measure", "Prints the measures of a last (STEP) with their definitions");
  command->add_option("last", options->file, "STEP file of one closed solid")->required();
  command->add_option("--by", options->by, "which definitions")
      ->check(CLI::IsMember({"plane-hull", "tilt", "string", "all"}))
      ->capture_default_str();
  command->add_option("--heel-height", options->heel_height, "stand the last with its seat this high, mm");
  command->callback([options, &action] { action = [options] { return run_measure(*options); }; });
}

}  // namespace lastwright
