#include "cli/commands/redraw.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

#include "cli/files/write_file.hpp"
#include "cli/print.hpp"
#include "cli/redraw/redraw_svg.hpp"
#include "cli/redraw/redraw_text.hpp"
#include "cli/style_options.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/json/json_text.hpp"
#include "grading/redraw/redraw_style.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

namespace fs = std::filesystem;

struct RedrawCommand {
  std::string style;
  std::vector<std::string> drawings;  // "FILE" or "KEY=FILE"
  std::vector<std::string> was;       // "KEY=FILE"
  std::string out;
  std::string svg;
  bool json = false;
  bool force = false;
  RedrawOptions options;
};

Problem usage_problem(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

const DrawingSpec* with_key(const StyleSpec& style, const std::string& key) {
  const auto at = std::find_if(style.drawings.begin(), style.drawings.end(),
                               [&](const DrawingSpec& one) { return one.key == key; });
  return at == style.drawings.end() ? nullptr : &*at;
}

// Whose place a drawing takes: said, or the only one, or told by its name.
Result<std::pair<std::string, std::string>> placed(const StyleSpec& style, const std::string& given) {
  std::vector<std::string> keys;
  for (const DrawingSpec& one : style.drawings) keys.push_back(one.key);
  if (const auto equals = given.find('='); equals != std::string::npos && !fs::exists(given)) {
    const std::string key = given.substr(0, equals);
    if (with_key(style, key) != nullptr) return std::pair{key, given.substr(equals + 1)};
    return usage_problem(fmt::format("the style has no drawing \"{}\"{}", key, suggestion(key, keys)));
  }
  if (keys.size() == 1) return std::pair{keys.front(), given};
  const fs::path path(given);
  for (const DrawingSpec& one : style.drawings) {
    if (path.stem() == one.key || path.filename() == fs::path(one.file).filename())
      return std::pair{one.key, given};
  }
  return usage_problem(fmt::format("the style has {} drawings; say whose place {} takes: {}={}", keys.size(),
                                   given, keys.empty() ? "KEY" : keys.front(), given));
}

std::string seen_from(const fs::path& folder, const std::string& file) {
  std::error_code error;
  const auto relative = fs::proximate(file, folder, error);
  return error || relative.empty() ? file : relative.generic_string();
}

fs::path folder_of(const std::string& file) {
  const fs::path folder = fs::path(file).parent_path();
  return folder.empty() ? fs::path(".") : folder;
}

// The files as the new style names them. In another folder than the old one it names every file anew.
void name_files(const RedrawCommand& command, const StyleSpec& style, const std::string& out,
                RedrawOptions& options) {
  const fs::path folder = folder_of(out);
  const auto pointer = [](const std::string& key) { return pointer_to("/drawings", key) + "/file"; };
  for (const auto& [key, file] : options.fresh) options.names[pointer(key)] = seen_from(folder, file);
  std::error_code error;
  const fs::path old_folder = folder_of(command.style);
  if (fs::weakly_canonical(folder, error) == fs::weakly_canonical(old_folder, error)) return;
  for (const DrawingSpec& one : style.drawings) {
    if (options.fresh.count(one.key) == 0)
      options.names[pointer(one.key)] = seen_from(folder, file_beside(command.style, one.file));
  }
  for (std::size_t i = 0; i < style.table_files.size(); ++i)
    options.names[pointer_to("/tables", i)] =
        seen_from(folder, file_beside(command.style, style.table_files[i]));
}

Status place_drawings(const StyleSpec& style, const RedrawCommand& command, RedrawOptions& options) {
  for (const std::string& given : command.drawings) {
    const auto one = placed(style, given);
    if (!one) return one.problem();
    if (!options.fresh.insert(*one).second)
      return usage_problem(fmt::format("two drawings are to take the place of \"{}\"", one->first));
  }
  for (const std::string& given : command.was) {
    const auto one = placed(style, given);
    if (!one) return one.problem();
    options.was.insert(*one);
  }
  for (const auto& [key, file] : options.fresh) {
    std::error_code error;
    const std::string old = file_beside(command.style, with_key(style, key)->file);
    if (options.was.count(key) == 0 && fs::equivalent(old, file, error) && !error) {
      return usage_problem(
          fmt::format("{} is the drawing that the style has: without the one it was made from nothing can be "
                      "compared; save the change under another name, or name the old one: --was {}=FILE",
                      file, key));
    }
  }
  return Done{};
}

ExitCode run_redraw(const RedrawCommand& command) {
  const Result<std::string> text = read_file(command.style, std::size_t{16} << 20);
  if (!text) return print_problem(text.problem());
  const StyleRead read = read_style(*text, command.style);
  if (!read.ok()) return print_problems(read.problems);
  RedrawOptions options = command.options;
  if (const Status fine = place_drawings(*read.style, command, options); !fine)
    return print_problem(fine.problem());
  const bool writes = !command.out.empty() || command.force;
  const std::string out = command.out.empty() ? command.style : command.out;
  name_files(command, *read.style, out, options);
  Redraw redraw = redraw_style(command.style, options);
  // The old style may be written over where that is asked for; its drawings never.
  std::vector<std::string> inputs = redraw.inputs;
  inputs.erase(std::remove(inputs.begin(), inputs.end(), command.style), inputs.end());
  if (command.out.empty() || command.out == command.style) {
    if (!command.force && !command.out.empty()) inputs.push_back(command.style);
  }
  // Where nothing could be read there is nothing to tell of.
  if (redraw.pieces.empty() && redraw.told.empty() && !redraw.problems.empty() && !command.json)
    return print_problems(redraw.problems);
  if (!command.svg.empty()) {
    std::vector<std::string> kept = inputs;
    kept.push_back(command.style);
    const Status picture = write_file_whole(command.svg, redraw_svg(read.style->name, redraw),
                                            {.force = command.force, .inputs = kept});
    if (!picture) return print_problem(picture.problem());
  }
  const ExitCode said =
      command.json ? print_result(redraw_json(redraw)) : print_summary(redraw_text(read.style->name, redraw));
  if (!redraw.problems.empty()) return print_problems(redraw.problems);
  if (said != ExitCode::kOk || !writes) return said;
  if (const Status written = write_file_whole(out, redraw.text, {.force = command.force, .inputs = inputs});
      !written)
    return print_problem(written.problem());
  return ExitCode::kOk;
}

}  // namespace

void add_redraw(Program& app, Action& action) {
  auto command = std::make_shared<RedrawCommand>();
  Command* sub = app.add_subcommand("redraw",
                                    "Put a changed drawing in place of the one a style was made from, and "
                                    "find its corners, edges and features again");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option(
         "drawing", command->drawings,
         "the new DXF drawings; KEY=FILE where the style has several and the names do not tell which")
      ->required();
  sub->add_option("--was", command->was,
                  "KEY=FILE: the old drawing, where it is no longer in the place that the style names");
  sub->add_option("--out", command->out,
                  "the new style FILE; unless it or --force is given nothing is written");
  sub->add_option("--svg", command->svg,
                  "a picture FILE of the old and the new drawing over each other, with distances");
  sub->add_option("--reach", command->options.corners.reach,
                  "look for a corner no farther than this, in mm, from where it was")
      ->check(within(0.1, 200.0))
      ->capture_default_str();
  sub->add_flag("--slide", command->options.corners.slide,
                "a corner on a smooth line that has moved goes to the same share of that line, between what "
                "is found on either side");
  sub->add_flag("--json", command->json, "print what moved as JSON");
  sub->add_flag("--force", command->force, "write over the style, or over an existing --out or --svg");
  add_load_style_options(*sub, command->options.files);
  sub->callback([command, &action] { action = [command] { return run_redraw(*command); }; });
}

}  // namespace lastwright
