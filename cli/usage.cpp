#include "cli/usage.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string_view>

#include "cli/print.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

// "--papr" -> the options of the command that it may have meant.
std::string unknown_option(const std::string& name, const std::vector<std::string>& known) {
  std::optional<std::string> near = nearest_name(name, known);
  // A word cut short: "--sem" is far from "--seam-limit" letter by letter, "--seam" begins it.
  const auto begun =
      std::find_if(known.begin(), known.end(), [&](const auto& one) { return one.starts_with(name); });
  if (!near && begun != known.end()) near = *begun;
  return fmt::format("there is no option {}{}", name, near ? fmt::format(" (did you mean {}?)", *near) : "");
}

// What the option library says of an option that is there too often or without its value, in our words.
std::string in_plain_words(const std::string& what) {
  constexpr std::string_view kOften = ": At Most 1 required but received ";
  if (const std::size_t at = what.find(kOften); at != std::string::npos)
    return fmt::format("{} is given {} times; once will do", what.substr(0, at),
                       what.substr(at + kOften.size()));
  constexpr std::string_view kNoNumber = "Could not convert: ";  // --threads = x
  if (const std::size_t is = what.find(" = "); what.starts_with(kNoNumber) && is != std::string::npos)
    return fmt::format("{}: {} is not a number that it can have",
                       what.substr(kNoNumber.size(), is - kNoNumber.size()), what.substr(is + 3));
  const std::size_t at = what.find(": 1 required ");
  if (at != std::string::npos && what.ends_with(" missing")) return what.substr(0, at) + " needs a value";
  return what;
}

Problem usage(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
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

ExitCode print_usage_error(const NotUnderstood& told, const std::vector<std::string>& words) {
  const std::string help =
      fmt::format("; see {}{} --help", told.program, told.command.empty() ? "" : " " + told.command);
  if (told.command.empty() && !words.empty() && !words.front().starts_with('-'))
    return print_problem(usage(unknown_command(words.front(), told.commands) + help));
  // An option that is not known takes its value with it
  // among what is left over: the option is what was meant.
  for (const std::string& word : words) {
    if (word == "--") break;
    const std::string name = word.substr(0, word.find('='));
    const bool known = std::find(told.options.begin(), told.options.end(), name) != told.options.end();
    if (word.starts_with("--") && word.size() > 2 && !known)
      return print_problem(usage(unknown_option(name, told.options) + help));
  }
  if (told.command.empty()) {
    std::string all;
    for (const std::string& one : told.commands) all += (all.empty() ? "" : ", ") + one;
    return print_problem(usage("name a command: " + all + help));
  }
  std::string message = in_plain_words(told.what);
  if (!message.empty() && message[0] >= 'A' && message[0] <= 'Z')
    message[0] = static_cast<char>(message[0] - 'A' + 'a');
  return print_problem(usage(message + help));
}

}  // namespace lastwright
