#include "cli/commands/open.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

#include "cli/drawings/draft_files.hpp"
#include "cli/files/write_file.hpp"
#include "cli/live/gate.hpp"
#include "cli/live/live_room.hpp"
#include "cli/live/loopback_server.hpp"
#include "cli/live/page_table.hpp"
#include "cli/print.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

struct OpenCommand {
  std::vector<std::string> given;  // a style, or drawings
  DraftCommand draft;
  std::vector<Option*> drafting;
  int port = 0;
  unsigned threads = 0;
};

// A page that brings the token of the address gets the key that every later request carries.
WebReply entered(Gate& gate, const std::string& body) {
  const Result<JsonDocument> asked = parse_json(body, "the request");
  const bool sound =
      asked && asked->root.is_object() && asked->root.contains("token") && asked->root["token"].is_string();
  const auto key = sound ? gate.enter(asked->root["token"].get<std::string>()) : std::nullopt;
  if (!key)
    return refusal(403, "this address has been used: press Enter where lastwright open runs for a new one");
  return {200, "application/json; charset=utf-8", Json{{"key", *key}}.dump()};
}

bool is_drawing(const std::string& file) {
  const std::string ending = std::filesystem::path(file).extension().string();
  return ending == ".dxf" || ending == ".DXF" || ending == ".Dxf";
}

// The style that is given, or one that is drafted from the drawings and written, as `new` does it.
Result<std::string> style_to_open(const OpenCommand& command) {
  const auto drawings =
      static_cast<std::size_t>(std::count_if(command.given.begin(), command.given.end(), is_drawing));
  if (drawings == 0 && command.given.size() == 1) {
    const bool drafts = std::any_of(command.drafting.begin(), command.drafting.end(),
                                    [](const Option* one) { return one->count() > 0; });
    if (!drafts) return command.given.front();
    return Problem{Trouble::kUsage,
                   "a style is opened as it is: options of a draft go with drawings; draft anew in the page",
                   {},
                   {},
                   {}};
  }
  if (drawings != command.given.size()) {
    return Problem{Trouble::kUsage, "name one style file, or nothing but drawings (.dxf)", {}, {}, {}};
  }
  DraftCommand draft = command.draft;
  draft.drawings = command.given;
  std::string out = draft_file(draft);
  if (out == "-") {
    return Problem{Trouble::kUsage, "a page works on a file: name one with --out", {}, {}, {}};
  }
  const OutputOptions writing{.force = draft.force, .inputs = draft.drawings};
  if (Status free = may_write_file(out, writing); !free) {
    Problem taken = free.problem();
    if (taken.trouble == Trouble::kWouldReplace)
      taken.message += fmt::format("; to go on with it: lastwright open {}", safe_text(out));
    return taken;
  }
  const Result<Draft> made = draft_from_files(draft, out);
  if (!made) return made.problem();
  for (const std::string& warning : made->warnings) print_warning(warning);
  for (const std::string& lost : made->lost) print_warning("not in the draft: " + lost);
  for (const Problem& problem : made->problems) print_warning(to_text(problem));
  const Status written = write_draft_files(write_style(made->style), *made, out, draft.force, draft.drawings);
  if (!written) return written.problem();
  return out;
}

// What commands that are started from the page are told besides.
std::vector<std::string> words_of(const OpenCommand& command) {
  std::vector<std::string> words;
  for (const std::string& table : command.draft.tables) {
    words.emplace_back("--table");
    words.push_back(table);
  }
  if (!command.draft.units.empty()) words.insert(words.end(), {"--units", command.draft.units});
  return words;
}

ExitCode run_open(const OpenCommand& command) {
  const Result<std::string> style = style_to_open(command);
  if (!style) return print_problem(style.problem());
  Result<StyleDesk> desk = StyleDesk::open(*style);
  if (!desk) return print_problem(desk.problem());
  auto server = LoopbackServer::listen(static_cast<std::uint16_t>(command.port));
  if (!server) return print_problem(server.problem());
  Gate gate((*server)->port());
  const LoadStyleOptions files{.tables = command.draft.tables, .unit = unit_named(command.draft.units)};
  LiveRoom room(*std::move(desk), files, command.threads, words_of(command));
  const ExitCode told = print_summary(fmt::format(
      "{} is on the bench; open this address in a browser (it works once):\n  {}\n"
      "Enter: a new address, for another page. Ctrl-C: the end; what is not saved stays as a draft.\n",
      safe_text(*style), gate.address()));
  if (told != ExitCode::kOk) return told;
  (*server)->on_line([&gate] {
    gate.renew();
    print_summary("  " + gate.address() + "\n");
  });
  (*server)->run({[&gate](const WebHead& head) {
                    return gate.refuse(head,
                                       [](std::string_view path) { return page_file(path) != nullptr; });
                  },
                  [&](const WebHead& head, std::string body, WebAnswer answer) {
                    if (const PageFile* file = head.method == "GET" ? page_file(head.path) : nullptr)
                      return answer({200, file->type, std::string(file->bytes)});
                    if (head.path == "/enter") return answer(entered(gate, body));
                    room.ask(head.path, std::move(body), std::move(answer));
                  }});
  return ExitCode::kOk;
}

}  // namespace

void add_open(Program& app, Action& action) {
  auto command = std::make_shared<OpenCommand>();
  Command* sub = app.add_subcommand(
      "open",
      "Open a page in your browser to work on a style: pieces, edges, rules and checks, live in every size");
  sub->add_option("style", command->given,
                  "the style file; or DXF drawings, from which a first style is drafted as `new` does it")
      ->required();
  sub->add_option("--port", command->port, "the port it is served at, on 127.0.0.1 alone; 0: a free one")
      ->check(whole_within(0, 65535));
  sub->add_option("--threads", command->threads, "worker threads; 0: one per core");
  command->drafting = add_draft_options(*sub, command->draft).drafting;
  sub->callback([command, &action] { action = [command] { return run_open(*command); }; });
}

}  // namespace lastwright
