#include "cli/options.hpp"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <CLI/Validators.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <iostream>
#include <utility>

#include "cli/print.hpp"
#include "cli/usage.hpp"
#include "geometry/files/file_system.hpp"

namespace lastwright {

namespace {

// The library's own check of a range lets "nan" through.
CLI::Validator validator(const NumberWithin& range) {
  return {[range](std::string& word) {
            double value = 0.0;
            const bool number = CLI::detail::lexical_cast(word, value);
            return number && value >= range.low && value <= range.high
                       ? std::string()
                       : fmt::format("{} is not a number from {} to {}", word, range.low, range.high);
          },
          fmt::format("[{} to {}]", range.low, range.high)};
}

CLI::Validator validator(const OneOf& one) {
  return {[words = one.words](const std::string& word) {
            return std::find(words.begin(), words.end(), word) != words.end()
                       ? std::string()
                       : fmt::format("{} is none of {}", word, fmt::join(words, ", "));
          },
          fmt::format("{{{}}}", fmt::join(one.words, ","))};
}

CLI::Validator validator(const WholeNumberWithin& range) {
  return {[range](std::string& word) {
            int value = 0;
            const bool whole = CLI::detail::lexical_cast(word, value);
            return whole && value >= range.low && value <= range.high
                       ? std::string()
                       : fmt::format("{} is not a whole number from {} to {}", word, range.low, range.high);
          },
          fmt::format("[{} to {}]", range.low, range.high)};
}

}  // namespace

WordCheck one_of(std::initializer_list<const char*> words) {
  return OneOf{{words.begin(), words.end()}};
}

WordCheck within(double low, double high) {
  return NumberWithin{low, high};
}

WordCheck whole_within(int low, int high) {
  return WholeNumberWithin{low, high};
}

Option* Option::required() {
  inner_->required();
  return this;
}

Option* Option::check(const WordCheck& check) {
  inner_->check(std::visit([](const auto& one) { return validator(one); }, check));
  return this;
}

Option* Option::delimiter(char between) {
  inner_->delimiter(between);
  return this;
}

Option* Option::capture_default_str() {
  inner_->capture_default_str();
  return this;
}

Option* Option::expected(int least, int most) {
  inner_->expected(least, most);
  return this;
}

Option* Option::needs(const Option* other) {
  inner_->needs(other->inner_);
  return this;
}

Option* Option::excludes(const Option* other) {
  inner_->excludes(other->inner_);
  return this;
}

std::size_t Option::count() const {
  return inner_->count();
}

Option* Command::own(CLI::Option* option) {
  options_.push_back(std::make_unique<Option>(option));
  return options_.back().get();
}

Option* Command::add_option(const std::string& names, std::string& value, const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option(const std::string& names, std::vector<std::string>& value,
                            const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option(const std::string& names, int& value, const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option(const std::string& names, unsigned& value, const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option(const std::string& names, double& value, const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option(const std::string& names, std::optional<double>& value, const std::string& help) {
  return own(inner_->add_option(names, value, help));
}

Option* Command::add_option_function(const std::string& names, std::function<void(const std::string&)> taken,
                                     const std::string& help) {
  return own(inner_->add_option_function<std::string>(names, std::move(taken), help));
}

Option* Command::add_flag(const std::string& names, bool& value, const std::string& help) {
  return own(inner_->add_flag(names, value, help));
}

void Command::hand_over() {
  inner_->prefix_command();
  inner_->set_help_flag("");
}

std::vector<std::string> Command::handed_over() const {
  return inner_->remaining();
}

void Command::callback(std::function<void()> asked) {
  inner_->callback(std::move(asked));
}

Program::Program(const std::string& name, const std::string& help)
    : inner_(std::make_unique<CLI::App>(help, name)) {
  inner_->require_subcommand(1);
}

Program::~Program() = default;

void Program::version(const std::string& text) {
  inner_->set_version_flag("--version", text);
}

Command* Program::add_subcommand(const std::string& name, const std::string& help) {
  commands_.push_back(std::make_unique<Command>(inner_->add_subcommand(name, help)));
  return commands_.back().get();
}

ExitCode Program::not_understood(const std::string& what, const std::vector<std::string>& words) const {
  NotUnderstood told{inner_->get_name(), {}, {}, {}, what};
  const std::vector<CLI::App*> asked = inner_->get_subcommands();
  if (!asked.empty()) told.command = asked.front()->get_name();
  for (const CLI::App* command : inner_->get_subcommands(nullptr))
    told.commands.push_back(command->get_name());
  for (const CLI::Option* option : (asked.empty() ? inner_.get() : asked.front())->get_options()) {
    for (const std::string& name : option->get_lnames()) told.options.push_back("--" + name);
  }
  return print_usage_error(told, words);
}

std::optional<ExitCode> Program::read(int argc, const char* const* argv) {
  try {
    inner_->parse(argc, argv);
    return std::nullopt;
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() != 0) return not_understood(error.what(), {argv + 1, argv + argc});
    errno = 0;
    inner_->exit(error);  // prints the help or the version
    if (!std::cout.flush()) return print_problem(file_problem("write the output", "standard output", errno));
    return ExitCode::kOk;
  }
}

}  // namespace lastwright
