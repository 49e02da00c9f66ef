#include "cli/usage.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/print.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::vector<std::string> commands_of(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands(nullptr)) names.push_back(command->get_name());
  return names;
}

// "--papr" -> the options of the command that it may have meant.
std::string unknown_option(const std::string& word, const CLI::App& command) {
  const std::string name = word.substr(0, word.find('='));
  std::vector<std::string> known;
  for (const CLI::Option* option : command.get_options()) {
    for (const std::string& one : option->get_lnames()) known.push_back("--" + one);
  }
  std::optional<std::string> near = nearest_name(name, known);
  // A word cut short: "--sem" is far from "--seam-limit" letter by letter, "--seam" begins it.
  const auto begun =
      std::find_if(known.begin(), known.end(), [&](const auto& one) { return one.starts_with(name); });
  if (!near && begun != known.end()) near = *begun;
  return fmt::format("there is no option {}{}", name, near ? fmt::format(" (did you mean {}?)", *near) : "");
}

Problem usage(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

bool knows(const CLI::App& command, const std::string& word) {
  return command.get_option_no_throw(word.substr(0, word.find('='))) != nullptr;
}

}  // namespace

std::string unknown_command(const std::string& word, const std::vector<std::string>& commands) {
  std::string text = fmt::format("there is no command \"{}\"", word);
  if (const auto near = nearest_name(word, commands))
    return text + fmt::format(" (did you mean \"{}\"?)", *near);
  std::string all;
  for (const std::string& command : commands) all += (all.empty() ? "" : ", ") + command;
  return text + "; there are " + all;
}

CLI::Validator within(double low, double high) {
  return {[low, high](std::string& word) {
            double value = 0.0;
            const bool number = CLI::detail::lexical_cast(word, value);
            return number && value >= low && value <= high
                       ? std::string()
                       : fmt::format("{} is no number from {} to {}", word, low, high);
          },
          fmt::format("FLOAT in [{} - {}]", low, high)};
}

ExitCode print_usage_error(const CLI::App& app, const CLI::ParseError& error,
                           const std::vector<std::string>& words) {
  const std::vector<CLI::App*> parsed = app.get_subcommands();
  const CLI::App& command = parsed.empty() ? app : *parsed.front();
  const std::string help =
      fmt::format("; see {}{} --help", app.get_name(), parsed.empty() ? "" : " " + command.get_name());
  const std::vector<std::string> commands = commands_of(app);
  if (parsed.empty() && !words.empty() && !words.front().starts_with('-'))
    return print_problem(usage(unknown_command(words.front(), commands) + help));
  // An option that is not known takes its value with it among what is left over: the option is what was
  // meant.
  for (const std::string& word : words) {
    if (word == "--") break;
    if (word.starts_with("--") && word.size() > 2 && !knows(command, word))
      return print_problem(usage(unknown_option(word, command) + help));
  }
  if (parsed.empty()) {
    std::string all;
    for (const std::string& one : commands) all += (all.empty() ? "" : ", ") + one;
    return print_problem(usage("name a command: " + all + help));
  }
  std::string message = error.what();
  if (!message.empty() && message[0] >= 'A' && message[0] <= 'Z')
    message[0] = static_cast<char>(message[0] - 'A' + 'a');
  return print_problem(usage(message + help));
}

}  // namespace lastwright
