#include "cli/commands/new.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <numeric>
#include <optional>
#include <string>

#include "cli/print.hpp"
#include "cli/safe_text.hpp"
#include "cli/write_file.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf_read.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/pieces/first_style.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_schema.hpp"

namespace lastwright {

namespace {

struct NewOptions {
  std::string drawing;
  std::string units;                             // "mm", "cm", "in"; empty: the drawing says
  double gap = DrawingSpec{}.chain_gap.value();  // mm; loose ends this close are joined
  std::string out;                               // empty: the drawing's name with .json
  std::string name;                              // of the style; empty: the drawing's
  double corner_angle = 5.0;                     // degrees
  std::string inside;                            // what closed lines inside outlines of their layer are
  bool force = false;                            // replace an existing file
  bool explain = false;                          // print the keys of a style file instead
};

std::optional<DrawingUnit> unit_named(const std::string& name) {
  if (name == "mm") return DrawingUnit::kMillimetre;
  if (name == "cm") return DrawingUnit::kCentimetre;
  if (name == "in") return DrawingUnit::kInch;
  return std::nullopt;
}

// The drawing as the style file will name it: relative to the style's folder where that is possible.
std::string seen_from(const std::string& style_file, const std::string& drawing) {
  std::error_code error;
  std::filesystem::path folder = style_file == "-" ? "" : std::filesystem::path(style_file).parent_path();
  if (folder.empty()) folder = ".";
  const auto relative = std::filesystem::proximate(drawing, folder, error);
  return error || relative.empty() ? drawing : relative.generic_string();
}

Result<FirstStyle> draft(const NewOptions& options, const std::string& out) {
  DxfReadOptions reading;
  reading.file_name = options.drawing;
  reading.unit = unit_named(options.units);
  const Result<std::string> bytes = read_file(options.drawing, reading.limits.bytes);
  if (!bytes) return bytes.problem();
  Result<Drawing> drawing = read_dxf(*bytes, reading);
  if (!drawing) return drawing.problem().in_file(options.drawing);
  const std::string stem = safe_text(std::filesystem::path(options.drawing).stem().string());
  FirstStyleOptions first;
  first.name = options.name.empty() ? stem : options.name;
  first.drawing_file = seen_from(out, options.drawing);
  first.units = options.units;
  first.chain_gap = Millimetres(options.gap);
  first.corner_angle = from_degrees(options.corner_angle);
  first.inside = options.inside == "lines" ? "internal lines" : options.inside;
  return first_style(std::move(*drawing), first);
}

std::string summary(const FirstStyle& first, const std::string& out) {
  const auto& pieces = first.style.pieces;
  const std::size_t edges =
      std::accumulate(pieces.begin(), pieces.end(), std::size_t{0},
                      [](std::size_t sum, const PieceSpec& piece) { return sum + piece.edges.size(); });
  std::string text = fmt::format("{}: {} piece{}, {} edge{}. Guessed, please confirm:\n", out, pieces.size(),
                                 pieces.size() == 1 ? "" : "s", edges, edges == 1 ? "" : "s");
  for (const std::string& guess : first.guesses) text += "  - " + safe_text(guess) + "\n";
  text += account_sum(first.account) + "\n";
  if (!first.lost.empty())
    text += fmt::format(
        "{} NOT IN THE DRAFT: see the lines marked so\n",
        first.lost.size() == 1 ? "ONE OUTLINE IS" : fmt::format("{} OUTLINES ARE", first.lost.size()));
  if (!first.problems.empty())
    text += "THE DRAFT DOES NOT LOAD until what is said above of the drawing is mended\n";
  return text + "lastwright new --explain says what each key means.\n";
}

ExitCode put_draft(const std::string& text, const FirstStyle& first, const std::string& out,
                   const NewOptions& options) {
  if (out == "-") return print_result(text);
  const Status written = write_file_whole(out, text, {.force = options.force, .inputs = {options.drawing}});
  if (!written) return print_problem(written.problem());
  return print_summary(summary(first, out));
}

// 1 where an outline did not come through, and the code of its problem where the draft does not load yet.
ExitCode run_new(const NewOptions& options) {
  if (options.explain) return print_result(schema_outline(style_schema()));
  if (options.drawing.empty()) {
    return print_problem({Trouble::kUsage, "name a drawing, or --explain", {}, {}, {}});
  }
  const std::string out = options.out.empty()
                              ? std::filesystem::path(options.drawing).replace_extension(".json").string()
                              : options.out;
  const Result<FirstStyle> first = draft(options, out);
  if (!first) return print_problem(first.problem());
  const std::string text = write_style(first->style);
  // What is handed over has been read back: a draft that does not load would be no help.
  for (const std::string& warning : first->warnings) print_warning(warning);
  for (const std::string& lost : first->lost) print_warning("not in the draft: " + lost);
  if (const StyleRead again = read_style(text, out); !again.ok()) return print_problems(again.problems);
  const ExitCode said = first->problems.empty() ? ExitCode::kOk : print_problems(first->problems);
  if (const ExitCode put = put_draft(text, *first, out, options); put != ExitCode::kOk) return put;
  if (said != ExitCode::kOk) return said;
  return first->lost.empty() ? ExitCode::kOk : ExitCode::kCheckFailed;
}

}  // namespace

void add_new(Program& app, Action& action) {
  auto options = std::make_shared<NewOptions>();
  Command* command =
      app.add_subcommand("new", "Writes a first style file from a drawing, or explains a style file");
  Option* drawing = command->add_option("drawing", options->drawing, "the DXF drawing");
  Option* units = command->add_option("--units", options->units,
                                      "unit of the drawing, where it does not say: mm, cm or in");
  units->check(one_of({"mm", "cm", "in"}));
  Option* gap = command->add_option("--gap", options->gap,
                                    "loose ends this close, in millimetres, are joined into one outline");
  gap->check(within(0.0, 10.0))->capture_default_str();
  Option* angle = command->add_option(
      "--corner-angle", options->corner_angle,
      "where an outline turns by less, in degrees, its edge goes on: for curves drawn in short lines");
  angle->check(within(0.1, 170.0))->capture_default_str();
  Option* inside = command->add_option(
      "--inside", options->inside,
      "what closed lines are that lie inside an outline on its own layer: cut-outs, lines, sew lines, "
      "pieces or ignore");
  inside->check(one_of({"cut-outs", "lines", "sew lines", "pieces", "ignore"}));
  Option* out = command->add_option("--out", options->out,
                                    "the style FILE to write; the drawing's name with .json unless given");
  Option* name = command->add_option("--name", options->name, "name of the style");
  Option* force = command->add_flag("--force", options->force, "replace an existing file");
  Option* explain =
      command->add_flag("--explain", options->explain, "print every key of a style file and what it means");
  for (const Option* of_the_draft : {drawing, units, gap, angle, inside, out, name, force})
    explain->excludes(of_the_draft);
  command->callback([options, &action] { action = [options] { return run_new(*options); }; });
}

}  // namespace lastwright
