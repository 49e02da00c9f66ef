// What a command may be given on the command line: names, variables, checks, help texts.
//
// The library that reads the words (CLI11) is seen by options.cpp alone: its header costs each source that
// includes it seconds to compile, and there are many commands. What is declared here refers to variables of
// the caller, which must stay where they are until the command line is read; objects are owned by the Program
// and never move.
//
//   Command* sub = program.add_subcommand("check", "Check a style ...");
//   sub->add_option("style", command->style, "the style file")->required();
//   sub->add_option("--threads", command->threads, "worker threads; 0: one per core");
#pragma once

#include <functional>
#include <initializer_list>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/exit_codes.hpp"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace lastwright {

// What the words of an option must be.
struct OneOf {
  std::vector<std::string> words;
};
struct NumberWithin {  // from low to high; "nan" is no number
  double low;
  double high;
};
struct WholeNumberWithin {
  int low;
  int high;
};
using WordCheck = std::variant<OneOf, NumberWithin, WholeNumberWithin>;

WordCheck one_of(std::initializer_list<const char*> words);
WordCheck within(double low, double high);
WordCheck whole_within(int low, int high);

class Option {
 public:
  explicit Option(CLI::Option* inner) : inner_(inner) {}

  Option* required();
  Option* check(const WordCheck& check);
  Option* delimiter(char between);        // one word holds several values
  Option* capture_default_str();          // the help shows what the variable holds now
  Option* expected(int least, int most);  // how many words follow it
  Option* needs(const Option* other);     // without which it means nothing
  Option* excludes(const Option* other);
  [[nodiscard]] std::size_t count() const;  // how often it was given

 private:
  CLI::Option* inner_;
};

class Command {
 public:
  explicit Command(CLI::App* inner) : inner_(inner) {}

  // "-o,--out": both names mean the option. Names without a dash are told by their place.
  Option* add_option(const std::string& names, std::string& value, const std::string& help);
  Option* add_option(const std::string& names, std::vector<std::string>& value, const std::string& help);
  Option* add_option(const std::string& names, int& value, const std::string& help);
  Option* add_option(const std::string& names, unsigned& value, const std::string& help);
  Option* add_option(const std::string& names, double& value, const std::string& help);
  Option* add_option(const std::string& names, std::optional<double>& value, const std::string& help);
  Option* add_option_function(const std::string& names, std::function<void(const std::string&)> taken,
                              const std::string& help);
  Option* add_flag(const std::string& names, bool& value, const std::string& help);

  // All words after the command are for another program, --help too.
  void hand_over();
  [[nodiscard]] std::vector<std::string> handed_over() const;

  // Called when this command was asked for and its words are read.
  void callback(std::function<void()> asked);

 private:
  Option* own(CLI::Option* option);

  CLI::App* inner_;
  std::vector<std::unique_ptr<Option>> options_;
};

// What a command that was asked for will do; set by its callback, run after reading.
using Action = std::function<ExitCode()>;

// One program with its commands.
class Program {
 public:
  Program(const std::string& name, const std::string& help);
  ~Program();
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  void version(const std::string& text);
  Command* add_subcommand(const std::string& name, const std::string& help);

  // Reads the words of main(). The exit code where there is nothing left to do: help or the version was asked
  // for and is printed, or the words were not understood and that is printed.
  std::optional<ExitCode> read(int argc, const char* const* argv);

 private:
  ExitCode not_understood(const std::string& what, const std::vector<std::string>& words) const;

  std::unique_ptr<CLI::App> inner_;
  std::vector<std::unique_ptr<Command>> commands_;
};

}  // namespace lastwright
