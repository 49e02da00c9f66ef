#include "cli/drawings/draft_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

#include "cli/files/write_file.hpp"
#include "cli/option_problem.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/jobs/load_tables.hpp"

namespace lastwright {

namespace {

// The drawing as the style file will name it: relative to the style's folder where that is possible.
std::string seen_from(const std::string& style_file, const std::string& drawing) {
  std::error_code error;
  std::filesystem::path folder = style_file == "-" ? "" : std::filesystem::path(style_file).parent_path();
  if (folder.empty()) folder = ".";
  const auto relative = std::filesystem::proximate(drawing, folder, error);
  return error || relative.empty() ? drawing : relative.generic_string();
}

// As the style shall call the drawings: after their files.
std::vector<std::string> drawing_keys(const std::vector<std::string>& files) {
  std::vector<std::string> keys;
  for (const std::string& file : files) {
    std::string stem = safe_text(std::filesystem::path(file).stem().string()).substr(0, 60);
    if (stem.empty()) stem = "drawing";
    std::string key = stem;
    for (int n = 2; std::find(keys.begin(), keys.end(), key) != keys.end(); ++n)
      key = fmt::format("{}-{}", stem, n);
    keys.push_back(std::move(key));
  }
  return keys;
}

// All drawings share one budget, as those of a style do.
Result<std::vector<DraftDrawing>> read_drawings(const DraftCommand& options, const std::string& out) {
  std::vector<DraftDrawing> drawings;
  const std::vector<std::string> keys = drawing_keys(options.drawings);
  DxfReadOptions reading;
  reading.unit = unit_named(options.units);
  for (std::size_t i = 0; i < options.drawings.size(); ++i) {
    const std::string& file = options.drawings[i];
    reading.file_name = file;
    const Result<std::string> bytes = read_file(file, reading.limits.bytes);
    if (!bytes) return bytes.problem();
    Result<Drawing> drawing = read_dxf(*bytes, reading);
    if (!drawing) return drawing.problem().in_file(file);
    drawings.push_back({std::move(*drawing), keys[i], seen_from(out, file)});
  }
  return drawings;
}

// Built-in kinds by their keys, the user's own by their files, in the order given.
Result<ShoeKind> kinds_of(const std::vector<std::string>& names) {
  Result<ShoeKind> kind = shoe_kind({});
  for (const std::string& name : names) {
    if (!name.ends_with(".json")) {
      if (const Status laid = lay_known_kind_over(*kind, name); !laid)
        return in_option(laid.problem(), "--kind");
      continue;
    }
    const Result<std::string> text = read_file(name, std::size_t{1} << 20);
    if (!text) return text.problem();
    if (const Status laid = lay_kind_over(*kind, *text, name); !laid) return laid.problem();
  }
  return kind;
}

}  // namespace

std::string draft_file(const DraftCommand& command) {
  if (!command.out.empty()) return command.out;
  return std::filesystem::path(command.drawings.front()).replace_extension(".json").string();
}

std::string ladder_file(const std::string& out) {
  return std::filesystem::path(out).replace_extension().string() + "-widths.json";
}

Result<Draft> draft_from_files(const DraftCommand& options, const std::string& out) {
  DraftOptions asked;
  asked.basis = options.basis;
  if (!options.by.empty()) {
    const Result<Fraction> by = parse_fraction(options.by);
    if (!by) return in_option(by.problem(), "--by");
    asked.basis.by = *by;
  }
  if (!options.measures.empty()) {
    const Result<std::string> text = read_file(options.measures, std::size_t{16} << 20);
    if (!text) return text.problem();
    Result<StyleSpec> given = given_measures(*text, options.measures);
    if (!given) return given.problem();
    asked.basis.given = *std::move(given);
  }
  std::vector<std::string> files = options.tables;
  if (asked.basis.given) {
    for (const std::string& table : asked.basis.given->table_files)
      files.push_back(file_beside(options.measures, table));
  }
  const Result<ReferenceTables> tables = load_tables(files);
  if (!tables) return tables.problem();
  for (const std::string& file : files) asked.table_files.push_back(seen_from(out, file));
  Result<ShoeKind> kind = kinds_of(options.kinds);
  if (!kind) return kind.problem();
  asked.kind = *std::move(kind);
  Result<std::vector<DraftDrawing>> drawings = read_drawings(options, out);
  if (!drawings) return drawings.problem();
  asked.first.name = options.name.empty() ? drawings->front().key : options.name;
  asked.first.units = options.units;
  asked.first.chain_gap = Millimetres(options.gap);
  // Chords of a curve turn by less than the corners of a pattern do.
  const bool angle_given = options.corner_angle > 0.0;
  const double angle = angle_given ? options.corner_angle : options.fair > 0.0 ? FairSpec{}.corners : 5.0;
  asked.first.corner_angle = from_degrees(angle);
  if (options.fair > 0.0) asked.first.fair = FairSpec{Millimetres(options.fair), angle};
  asked.first.inside = options.inside == "lines" ? "internal lines" : options.inside;
  asked.first.edge_lines = options.edge_lines;
  asked.lay = options.lay;
  asked.own_ladder_file = std::filesystem::path(ladder_file(out)).filename().string();
  return draft_style(*std::move(drawings), asked, *tables);
}

// What is said of several things alike stands on one line: "vamp; quarter: feather, for ...".
std::string proposals_text(const StyleSpec& style) {
  std::vector<std::pair<std::string, std::string>> lines;  // what is said, of what
  std::string text;
  for (const Sureness sure : kSurenesses) {
    lines.clear();
    for (const Proposed& one : style.proposed) {
      if (one.sure != sure) continue;
      const std::size_t colon = one.what.find(": ");
      const std::string of = colon == std::string::npos ? "" : one.what.substr(0, colon);
      const std::string said = colon == std::string::npos ? one.what : one.what.substr(colon);
      const auto same =
          std::find_if(lines.begin(), lines.end(), [&](const auto& line) { return line.first == said; });
      if (same == lines.end()) {
        lines.emplace_back(said, of);
      } else if (same->second != of && !same->second.ends_with("; " + of)) {
        same->second += "; " + of;
      }
    }
    for (const auto& [said, of] : lines)
      text += fmt::format("  - {:8}{}\n", std::string(name_of(sure)) + ":", safe_text(of + said));
  }
  return text;
}

Status write_draft_files(const std::string& text, const Draft& draft, const std::string& out, bool force,
                         const std::vector<std::string>& inputs) {
  const OutputOptions writing{.force = force, .inputs = inputs};
  // Both or neither: the style first shows whether it may be written at all.
  if (const Status free = may_write_file(out, writing); !free) return free.problem();
  if (!draft.own_ladder.empty()) {
    if (const Status written = write_file_whole(ladder_file(out), draft.own_ladder, writing); !written)
      return written.problem();
  }
  return write_file_whole(out, text, writing);
}

DraftOptionsAdded add_draft_options(Command& command, DraftCommand& options) {
  Option* units = command.add_option("--units", options.units,
                                     "unit of all the drawings, whatever they say themselves; unless given, "
                                     "each is read in the unit it states: mm, cm or in");
  units->check(one_of({"mm", "cm", "in"}));
  Option* gap = command.add_option("--gap", options.gap,
                                   "loose ends this close, in millimetres, are joined into one outline");
  gap->check(within(0.0, 10.0))->capture_default_str();
  Option* angle =
      command.add_option("--corner-angle", options.corner_angle,
                         "where an outline turns by less than this, in degrees, there is no corner: for "
                         "curves drawn in short lines; 5 unless given, 20 with --fair");
  angle->check(within(0.1, 170.0));
  Option* inside = command.add_option("--inside", options.inside,
                                      "what to take closed lines for that lie inside an outline on its own "
                                      "layer: cut-outs, lines, sew lines, pieces or ignore");
  inside->check(one_of({"cut-outs", "lines", "sew lines", "pieces", "ignore"}));
  Option* edge_lines = command.add_option("--edge-lines", options.edge_lines,
                                          "what to take short straight lines for that stand square on an "
                                          "edge, on its outline's own layer: nicks or ignore");
  edge_lines->check(one_of({"nicks", "ignore"}));
  Option* fair = command.add_option("--fair", options.fair,
                                    "curves drawn in short chords are taken as arcs that leave no vertex by "
                                    "more than this, in millimetres");
  fair->check(within(0.0, 1.0));
  Option* scale = command.add_option("--scale", options.basis.scale, "scale of the sizes; see sizes --list");
  Option* size = command.add_option("--size", options.basis.size,
                                    "base size: that of the sample which the drawings show");
  Option* width =
      command.add_option("--width", options.basis.width, "base width; the middle one unless given");
  Option* widths =
      command.add_option("--widths", options.basis.widths, "widths to be made, narrowest first: N,M,W");
  widths->delimiter(',');
  Option* ladder =
      command.add_option("--ladder", options.basis.ladder,
                         "ladder (the widths of a scale, in order); unless given, one that has these widths");
  Option* from = command.add_option("--from", options.basis.from, "smallest size to be made");
  Option* to = command.add_option("--to", options.basis.to, "largest size to be made");
  Option* by = command.add_option("--by", options.by, "step through the sizes: 1 or 1/2");
  Option* measures = command.add_option("--measures", options.measures,
                                        "a style FILE, a table of measures, or their JSON object: its "
                                        "measures are taken, and its scale, base and run unless given here");
  Option* table = command.add_option(
      "--table", options.tables,
      "a FILE with a scale (sizes), a ladder (widths) or a table of your own; may be repeated");
  std::string kinds;
  for (const std::string& one : shoe_kinds()) kinds += (kinds.empty() ? "" : ", ") + one;
  Option* kind = command.add_option(
      "--kind", options.kinds,
      "ready rules for a kind of shoe, or for several with commas between, or a FILE of your own: " + kinds);
  kind->delimiter(',');
  Option* lay = command.add_flag("--lay", options.lay,
                                 "lay pieces that lie apart onto the forme by edges they share with others");
  Option* out = command.add_option(
      "--out", options.out, "the style FILE to write; the first drawing's name with .json unless given");
  Option* name = command.add_option("--name", options.name, "name of the style");
  Option* force = command.add_flag("--force", options.force, "replace an existing file");
  return {{units, table},
          {gap, angle, fair, inside, edge_lines, scale, size, width, widths, ladder, from, to, by, measures,
           kind, lay, out, name, force}};
}

}  // namespace lastwright
