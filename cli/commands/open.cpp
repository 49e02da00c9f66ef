#include "cli/commands/open.hpp"

#include <fmt/format.h>

#include <memory>

#include "cli/live/gate.hpp"
#include "cli/live/live_room.hpp"
#include "cli/live/loopback_server.hpp"
#include "cli/live/page_table.hpp"
#include "cli/print.hpp"
#include "cli/style_options.hpp"

namespace lastwright {

namespace {

struct OpenCommand {
  std::string style;
  LoadStyleOptions files;
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

ExitCode run_open(const OpenCommand& command) {
  Result<StyleDesk> desk = StyleDesk::open(command.style);
  if (!desk) return print_problem(desk.problem());
  auto server = LoopbackServer::listen(static_cast<std::uint16_t>(command.port));
  if (!server) return print_problem(server.problem());
  Gate gate((*server)->port());
  LiveRoom room(*std::move(desk), command.files, command.threads);
  const ExitCode told = print_summary(fmt::format(
      "{} is on the bench; open this address in a browser (it works once):\n  {}\n"
      "Enter: a new address, for another page. Ctrl-C: the end; what is not saved stays as a draft.\n",
      command.style, gate.address()));
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
      "A page to work on a style, in your browser: pieces, edges, rules and checks, live in every size");
  sub->add_option("style", command->style, "the style file")->required();
  sub->add_option("--port", command->port, "the port it is served at, on 127.0.0.1 alone; 0: a free one")
      ->check(whole_within(0, 65535));
  sub->add_option("--threads", command->threads, "worker threads; 0: one per core");
  add_load_style_options(*sub, command->files);
  sub->callback([command, &action] { action = [command] { return run_open(*command); }; });
}

}  // namespace lastwright
