#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <numbers>
#include <optional>

#include "cli/last/commands.hpp"
#include "cli/last/printed.hpp"
#include "cli/print.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/io/safe_text.hpp"
#include "geometry/solid/solid_file.hpp"
#include "grading/json/json_value.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/last_set.hpp"
#include "grading/lasts/last_spec.hpp"
#include "grading/lasts/roles.hpp"
#include "grading/lasts/style_told.hpp"
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
  std::string axes;
  std::string foot;
  std::vector<std::string> bottom;
  std::string format = "text";
};

// The lengths that the style's formes give each girth, beside the last's own.
Status print_shares(const BaseLast& last, const MeasureOptions& options) {
  const Checked<LoadedStyle> load =
      load_style(options.style, {.tables = {}, .drawings = false, .unit = {}, .limits = {}});
  if (!load.ok()) return load.problems().front();
  const LoadedStyle& style = *load;
  for (const std::string& note : told_of_style(style, options.style))
    fmt::print("note: {}\n", safe_text(note));
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
               t.formes_upper, printed(t.last_upper - t.formes_upper, 3), t.last_bottom, t.formes_bottom,
               printed(t.last_bottom - t.formes_bottom, 3));
  }
  return Done{};
}

std::map<std::string, double> by_definition(const BaseLast& base, const std::vector<double>& values) {
  std::map<std::string, double> by;
  for (std::size_t i = 0; i < values.size(); ++i) by[base.definitions[i].id()] = values[i];
  return by;
}

// How far values may be off, and what they would be.
struct ValueDoubts {
  std::map<std::string, double> pitch;       // by definition, mm
  std::map<std::string, double> by_form;     // of one that stands by its file: differences by its form alone
  std::map<std::string, double> other_foot;  // where the foot is in doubt: by definition, were it the other
};

// A measure that neither foot can give is no more told than of the last as it is taken.
Result<ValueDoubts> doubts_of(const BaseLast& base, const std::vector<MeasureDefinition>& definitions,
                              const std::map<std::string, LandmarkChoice>& moved) {
  ValueDoubts doubts{by_definition(base, spread_of_pitch(base, moved)),
                     by_definition(base, differences_by_form(base, moved)),
                     {}};
  if (base.standing.foot_by != FootBy::kDoubt) return doubts;
  const Result<Landmarks> landmarks = landmarks_of_other_foot(base, moved);
  if (!landmarks) return landmarks.problem();
  const Form form = make_form(base.body);
  for (const MeasureDefinition& d : definitions) {
    const Result<Measured> m = measure(d, form, *landmarks);
    if (m) doubts.other_foot[d.id()] = m->value;
  }
  return doubts;
}

void print_values(const BaseLast& base, const std::vector<MeasureDefinition>& definitions,
                  const ValueDoubts& doubts) {
  const Form form = make_form(base.body);
  fmt::print("{:<34} {:>10} {:>10} {:>10}\n", "measure and definition", "mm", "skin", "bottom");
  const auto off = [&](const MeasureDefinition& d) {
    std::string said;
    if (const auto found = doubts.pitch.find(d.id()); found != doubts.pitch.end()) {
      said = std::isnan(found->second) ? "  +- not known"
                                       : fmt::format("  +- {:.2f} by the pitch", found->second);
    }
    if (const auto found = doubts.by_form.find(d.id()); found != doubts.by_form.end()) {
      if (std::isnan(found->second)) {
        said = "  not taken as its form stands";
      } else if (std::abs(found->second) >= 0.005) {
        said = fmt::format("  {:+.2f} as its form stands", found->second);
      }
    }
    if (const auto found = doubts.other_foot.find(d.id()); found != doubts.other_foot.end()) {
      said += fmt::format("  as a {} last {:.3f}", name_of(other_foot(base.standing.foot)), found->second);
    }
    return said;
  };
  for (const MeasureDefinition& d : definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    if (!m) {
      fmt::print("{:<34} {}\n", d.id(), to_text(m.problem()));
    } else if (m->skin > 0.0) {
      fmt::print("{:<34} {:>10.3f} {:>10.3f} {:>10.3f}{}{}\n", m->definition, m->value, m->skin, m->bottom,
                 d.method == Method::kPlaneHullTilt ? fmt::format("  tilted {:.2f} degrees", m->tilt) : "",
                 off(d));
    } else {
      fmt::print("{:<34} {:>10.3f}{}\n", m->definition, m->value, off(d));
    }
  }
}

// The definitions asked for.
std::vector<MeasureDefinition> wanted_definitions(const MeasureOptions& options, const BaseLast& base) {
  std::vector<MeasureDefinition> all;
  const auto add = [&](const char* by, const std::vector<MeasureDefinition>& some) {
    if (options.by == by || options.by == "all") all.insert(all.end(), some.begin(), some.end());
  };
  add("plane-hull", base.definitions);
  add("tilt", tilt_definitions());
  add("string", string_definitions());
  return all;
}

// Why the length along the surface is not told: a girth's line that is much longer than its tape goes through
// a cut or over noise. Empty where it is told.
std::string skin_left_out(const Measured& m) {
  constexpr double kMost = 0.01;  // of the tape: a hollow back or shank adds less
  if (!(m.skin > (1.0 + kMost) * m.value)) return {};
  return fmt::format(
      "the line along the surface is {:.1f} % longer than the tape, more than the {:.0f} % that hollows add: "
      "it "
      "goes through a cut or over noise, and is no length of the skin",
      100.0 * (m.skin / m.value - 1.0), 100.0 * kMost);
}

std::string csv_of(const BaseLast& base, const std::vector<MeasureDefinition>& definitions,
                   const ValueDoubts& doubts) {
  const Form form = make_form(base.body);
  std::string out =
      "measure,definition,mm,skin_mm,bottom_mm,tilt_degrees,pitch_spread_mm,by_form_mm,other_foot_mm,"
      "problem,skin_left_out\n";
  for (const MeasureDefinition& d : definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    if (!m) {
      out += fmt::format("{},{},,,,,,,,{},\n", csv_field(d.measure), csv_field(d.id()),
                         csv_field(m.problem().message));
      continue;
    }
    out += fmt::format("{},{},{:.4f},", csv_field(d.measure), csv_field(m->definition), m->value);
    const std::string no_skin = skin_left_out(*m);
    out += m->skin > 0.0 && no_skin.empty() ? fmt::format("{:.4f},{:.4f},", m->skin, m->bottom)
                                            : std::string(",,");
    if (d.method == Method::kPlaneHullTilt) out += fmt::format("{:.3f}", m->tilt);
    for (const std::map<std::string, double>* some : {&doubts.pitch, &doubts.by_form}) {
      const auto off = some->find(d.id());
      out += off == some->end() || std::isnan(off->second) ? ","
                                                           : fmt::format(",{:.4f}", printed(off->second, 4));
    }
    const auto other = doubts.other_foot.find(d.id());
    out += other == doubts.other_foot.end() ? std::string(",,") : fmt::format(",{:.4f},", other->second);
    out += fmt::format(",{}\n", csv_field(no_skin));
  }
  return out;
}

std::string json_of(const std::string& file, const SolidFile& solid, const BaseLast& base,
                    const std::vector<MeasureDefinition>& definitions, const ValueDoubts& doubts) {
  nlohmann::ordered_json out;
  out["file"] = safe_text(file);
  out["foot"] = name_of(base.standing.foot);
  out["foot_in_doubt"] = base.standing.foot_by == FootBy::kDoubt;
  out["foot_stated"] = base.standing.foot_by == FootBy::kStated;
  out["valid"] = solid.valid;
  out["volume_cm3"] = four_decimals(solid.volume / 1000.0);
  out["stands"] = told_of(base.standing);
  out["pitch_doubt_degrees"] = four_decimals(2.0 * base.standing.doubt * 180.0 / std::numbers::pi);
  out["notes"] = base.body.notes;
  const Form form = make_form(base.body);
  out["measures"] = nlohmann::ordered_json::array();
  for (const MeasureDefinition& d : definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    nlohmann::ordered_json row{{"measure", d.measure}, {"definition", d.id()}};
    if (!m) {
      row["problem"] = m.problem().message;
    } else {
      row["mm"] = four_decimals(m->value);
      if (std::string no_skin = skin_left_out(*m); !no_skin.empty()) {
        row["skin_left_out"] = std::move(no_skin);
      } else if (m->skin > 0.0) {
        row["skin_mm"] = four_decimals(m->skin);
        row["bottom_mm"] = four_decimals(m->bottom);
      }
      if (d.method == Method::kPlaneHullTilt) row["tilt_degrees"] = four_decimals(m->tilt);
      const auto off = doubts.pitch.find(d.id());
      if (off != doubts.pitch.end() && !std::isnan(off->second))
        row["pitch_spread_mm"] = four_decimals(off->second);
      const auto by_form = doubts.by_form.find(d.id());
      if (by_form != doubts.by_form.end() && !std::isnan(by_form->second))
        row["by_form_mm"] = four_decimals(by_form->second);
      if (const auto other = doubts.other_foot.find(d.id()); other != doubts.other_foot.end())
        row["other_foot_mm"] = four_decimals(other->second);
    }
    out["measures"].push_back(std::move(row));
  }
  for (const auto& [name, spot] : base.landmarks) {
    const Vec3 p = base.body.at(spot).p;
    out["landmarks"][name] = {{"face", spot.face},
                              {"u", spot.u},
                              {"v", spot.v},
                              {"x", four_decimals(p.x)},
                              {"y", four_decimals(p.y)},
                              {"z", four_decimals(p.z)}};
  }
  return out.dump(1) + "\n";
}

void print_landmarks(const BaseLast& base) {
  fmt::print("\n{:<16} {:>4} {:>11} {:>11}   {:>9} {:>9} {:>9}\n", "landmark", "face", "u", "v", "x", "y",
             "z");
  for (const auto& [name, spot] : base.landmarks) {
    const Vec3 p = printed(base.body.at(spot).p, 3);
    fmt::print("{:<16} {:>4} {:>11.6f} {:>11.6f}   {:>9.3f} {:>9.3f} {:>9.3f}\n", name, spot.face,
               printed(spot.u, 6), printed(spot.v, 6), p.x, p.y, p.z);
  }
}

// What stands behind "a left last" in the first line.
const char* told_by(FootBy by) {
  return by == FootBy::kDoubt ? " (in doubt)" : by == FootBy::kStated ? " (as stated)" : "";
}

std::string told_doubt(const Standing& standing) {
  if (!standing.against_axes.empty()) {
    return fmt::format(
        "as the stated axes stand it the form does not tell whether it is a left or a right last: {}; "
        "measured as a {} one; say other --axes, or none",
        told_of(standing.foot_signs), name_of(standing.foot));
  }
  return fmt::format(
      "the form does not tell whether it is a left or a right last: {}; measured as the likelier, a {} one: "
      "say "
      "--foot left or --foot right",
      told_of(standing.foot_signs), name_of(standing.foot));
}

// As the command states it, or the file that moves the landmarks.
Result<std::optional<LastFoot>> stated_foot(const MeasureOptions& options,
                                            const std::optional<LastFoot>& in_file) {
  const std::optional<LastFoot> named = foot_named(options.foot);
  if (named && in_file && *named != *in_file) {
    return Problem{Trouble::kUsage,
                   fmt::format("--foot {} contradicts \"foot\": \"{}\" in {}", name_of(*named),
                               name_of(*in_file), safe_text(options.landmarks)),
                   {},
                   {},
                   {}};
  }
  return named ? named : in_file;
}

Result<std::vector<int>> face_numbers(const std::vector<std::string>& words) {
  std::vector<int> faces;
  for (const std::string& word : words) {
    int face = 0;
    const auto done = std::from_chars(word.data(), word.data() + word.size(), face);
    if (done.ec != std::errc{} || done.ptr != word.data() + word.size()) {
      return Problem{
          Trouble::kUsage, fmt::format("--bottom: '{}' is no number of a face", safe_text(word)), {}, {}, {}};
    }
    faces.push_back(face);
  }
  return faces;
}

ExitCode run_measure(const MeasureOptions& options) {
  Result<SolidFile> file = read_solid_file(options.file, options.unit, kMeasuringMesh);
  if (!file) return report(file.problem());
  std::map<std::string, LandmarkChoice> moved;
  std::optional<LastFoot> in_file;
  if (!options.landmarks.empty()) {
    const Result<std::string> text = read_solid_bytes(options.landmarks);
    if (!text) return report(text.problem());
    Result<LastSpec> spec = read_last_spec(*text, options.landmarks);
    if (!spec) return report(spec.problem());
    moved = std::move(spec->landmarks);
    in_file = spec->foot;
  }
  const Result<std::vector<int>> bottom = face_numbers(options.bottom);
  if (!bottom) return report(bottom.problem());
  const Result<std::optional<LastFoot>> foot = stated_foot(options, in_file);
  if (!foot) return report(foot.problem());
  const LastPoseChoice pose{options.heel_height, options.axes, *bottom, *foot};
  Result<Body> body = std::move(file->body);
  if (file->shape) {
    body = body_of_last(*file->shape, pose, std::move(*body));
  } else if (Status named = name_bottom(*body, pose.bottom); !named) {
    body = named.problem();
  }
  if (!body) return report(body.problem().in_file(options.file));
  Result<BaseLast> base = make_measured_last(std::move(*body), pose, moved);
  if (!base) return report(base.problem().in_file(options.file));
  const std::vector<MeasureDefinition> definitions = wanted_definitions(options, *base);
  const Result<ValueDoubts> doubts = doubts_of(*base, definitions, moved);
  if (!doubts) return report(doubts.problem().in_file(options.file));
  if (base->standing.foot_by == FootBy::kDoubt) base->body.notes.push_back(told_doubt(base->standing));
  if (options.format == "csv") return print_result(csv_of(*base, definitions, *doubts));
  if (options.format == "json")
    return print_result(json_of(options.file, *file, *base, definitions, *doubts));

  fmt::print("{}: a {} last{}, {}, {:.0f} cm3, {}\n", safe_text(options.file), name_of(base->standing.foot),
             told_by(base->standing.foot_by), file->kind, file->volume / 1000.0,
             file->valid ? "closed" : "NOT valid by the kernel's check");
  fmt::print("{}{}\n", told_of(base->standing),
             base->standing.by == PoseBy::kForm ? "; --heel-height or --axes say it exactly" : "");
  for (const std::string& note : base->body.notes) fmt::print("note: {}\n", note);
  print_values(*base, definitions, *doubts);
  print_landmarks(*base);
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
  Command* command = app.add_subcommand("measure", "Print the measures of a last with their definitions");
  command
      ->add_option("last", options->file,
                   "STEP or IGES file of one closed solid, or a watertight mesh (STL, PLY, OBJ, 3MF)")
      ->required();
  command->add_option("--unit", options->unit, "unit of an STL, PLY or OBJ file, which does not say")
      ->check(one_of({"mm", "cm", "m", "in"}));
  command->add_option("--landmarks", options->landmarks,
                      "take the landmarks as this last's file (JSON) moves them");
  Option* style = command->add_option("--style", options->style,
                                      "also compare with the girth shares of this style's formes");
  command
      ->add_option("--size", options->size, "size of the style to compare with; its base size unless given")
      ->needs(style);
  command
      ->add_option("--width", options->width,
                   "width of the style to compare with; its base width unless given")
      ->needs(style);
  command
      ->add_option("--by", options->by,
                   "how girths are taken: plane-hull (a taut tape in one plane), tilt (the smallest over "
                   "tilts of that plane), string (a taut string free to leave it) or all; the other measures "
                   "come with plane-hull and all")
      ->check(one_of({"plane-hull", "tilt", "string", "all"}))
      ->capture_default_str();
  command->add_option("--axes", options->axes,
                      "the file's axes that point to the toe and up, such as x,z or -y,z");
  command
      ->add_option("--foot", options->foot,
                   "left or right: which foot the last is made for; unless given its form tells")
      ->check(one_of({"left", "right"}));
  command
      ->add_option("--bottom", options->bottom, "numbers of the faces that make up the bottom, such as 2,5")
      ->delimiter(',');
  command
      ->add_option("--heel-height", options->heel_height,
                   "stand the last with the middle of its seat this high, mm")
      ->check(within(-100.0, 300.0));
  command->add_option("--format", options->format, "text, csv or json")
      ->check(one_of({"text", "csv", "json"}))
      ->capture_default_str();
  command->callback([options, &action] { action = [options] { return run_measure(*options); }; });
}

}  // namespace lastwright
