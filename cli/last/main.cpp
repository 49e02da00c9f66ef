#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <cstdio>
#include <exception>

#include "cli/last/commands.hpp"

int main(int argc, char** argv) {
  using namespace lastwright;
  CLI::App app{"Measures, grades and verifies lasts in 3D", "lastwright last"};
  app.require_subcommand(1);
  Action action;
  add_measure(app, action);
  add_grade(app, action);
  add_verify(app, action);
  try {
    app.parse(argc, argv);
    return static_cast<int>(action ? action() : ExitCode::kUsage);
  } catch (const CLI::ParseError& error) {
    const int code = app.exit(error);
    return code == 0 ? 0 : static_cast<int>(ExitCode::kUsage);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "lastwright: a fault of the program: %s\n", error.what());
    return static_cast<int>(ExitCode::kInternal);
  }
}
