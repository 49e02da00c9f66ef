#include <fmt/format.h>

#include <cstdio>
#include <map>
#include <memory>
#include <optional>

#include "cli/last/commands.hpp"
#include "cli/print.hpp"
#include "cli/safe_text.hpp"
#include "geometry/solid/solid_file.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/last_spec.hpp"
#include "grading/lasts/ties.hpp"

namespace lastwright {

namespace {

struct MeasureOptions {
  std::string file;
  std::string by = "plane-hull";
  std::string unit;
  std::string landmarks;
  std::string style;
  std::string size;
  std::string width;
  std::optional<double> heel_height;
};

// The lengths that the style's formes give each girth, beside the last's own.
Status print_shares(const BaseLast& last, const MeasureOptions& options) {
  const StyleLoad load =
      load_style(options.style, {.tables = {}, .drawings = false, .unit = {}, .limits = {}});
  if (!load.ok()) return load.problems.front();
  const LoadedStyle& style = *load.style;
  if (const Status roles = girths_have_roles(style.spec); !roles)
    return roles.problem().in_file(options.style);
  SizeWidth at = style.measures.base().at;
  if (!options.size.empty()) {
    const Result<Size> size = style.scale.size(options.size);
    if (!size) return size.problem();
    at.size = *size;
  }
  if (!options.width.empty()) {
    const Result<Width> width = style.ladder.width(options.width);
    if (!width) return width.problem();
    at.width = *width;
  }
  fmt::print(
      "\nshares of the girths in size {} width {} of {}, mm\n{:<14} {:>10} {:>10} {:>8} {:>11} {:>11} "
      "{:>8}\n",
      at.size.label, at.width.label, options.style, "girth", "last upper", "formes", "apart", "last bottom",
      "formes", "apart");
  for (const GirthTie& t : ties_of(style, at, last.definitions, last.values)) {
    fmt::print("{:<14} {:>10.3f} {:>10.3f} {:>+8.3f} {:>11.3f} {:>11.3f} {:>+8.3f}\n", t.girth, t.last_upper,
               t.formes_upper, t.last_upper - t.formes_upper, t.last_bottom, t.formes_bottom,
               t.last_bottom - t.formes_bottom);
  }
  return Done{};
}

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
  Result<SolidFile> file = read_solid_file(options.file, options.unit, kMeasuringMesh);
  if (!file) return report(file.problem());
  std::map<std::string, LandmarkChoice> moved;
  if (!options.landmarks.empty()) {
    const Result<std::string> text = read_solid_bytes(options.landmarks);
    if (!text) return report(text.problem());
    Result<LastSpec> spec = read_last_spec(*text, options.landmarks);
    if (!spec) return report(spec.problem());
    moved = std::move(spec->landmarks);
  }
  const Result<BaseLast> base = make_measured_last(std::move(file->body), options.heel_height, moved);
  if (!base) return report(base.problem().in_file(options.file));

  fmt::print("{}: a {} last{}, {}, {:.0f} cm3, {}\n", safe_text(options.file),
             base->standing.foot == LastFoot::kLeft ? "left" : "right",
             base->standing.foot_doubt > 0.5 ? " (in doubt)" : "", file->kind, file->volume / 1000.0,
             file->valid ? "closed" : "NOT valid by the kernel's check");
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
  if (!options.style.empty()) {
    if (Status s = print_shares(*base, options); !s) return report(s.problem());
  }
  return ExitCode::kOk;
}

}  // namespace

ExitCode report(const Problem& problem) {
  std::fflush(stdout);
  return print_problem(problem);
}

ExitCode report(const std::vector<Problem>& problems) {
  std::fflush(stdout);
  return print_problems(problems);
}

void add_last_measure(Program& app, Action& action) {
  const auto options = std::make_shared<MeasureOptions>();
  Command* command = app.add_subcommand("measure", "Prints the measures of a last with their definitions");
  command->add_option("last", options->file, "STEP file of one closed solid, or watertight STL")->required();
  command->add_option("--unit", options->unit, "of an STL file")->check(one_of({"mm", "cm", "in"}));
  command->add_option("--landmarks", options->landmarks,
                      "take the landmarks as this last's file (JSON) moves them");
  Option* style = command->add_option("--style", options->style,
                                      "also compare with the girth shares of this style's formes");
  command->add_option("--size", options->size, "in this size of the style; its base size otherwise")
      ->needs(style);
  command->add_option("--width", options->width, "in this width of the style; its base width otherwise")
      ->needs(style);
  command->add_option("--by", options->by, "which definitions")
      ->check(one_of({"plane-hull", "tilt", "string", "all"}))
      ->capture_default_str();
  command->add_option("--heel-height", options->heel_height, "stand the last with its seat this high, mm")
      ->check(within(-100.0, 300.0));
  command->callback([options, &action] { action = [options] { return run_measure(*options); }; });
}

}  // namespace lastwright
