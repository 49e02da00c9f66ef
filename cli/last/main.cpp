#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <cerrno>
#include <cstdio>
#include <exception>
#include <system_error>

#include "cli/file_system.hpp"
#include "cli/last/commands.hpp"
#include "cli/print.hpp"
#include "cli/usage.hpp"

using namespace lastwright;

namespace {

int cannot_print() {
  return static_cast<int>(print_problem(file_problem("write the output", "standard output", errno)));
}

}  // namespace

int main(int argc, char** argv) {
  ignore_write_signals();
  CLI::App app{"Measures, grades and verifies lasts in 3D", "lastwright last"};
  app.require_subcommand(1);
  Action action;
  add_measure(app, action);
  add_grade(app, action);
  add_verify(app, action);
  try {
    app.parse(argc, argv);
    const ExitCode code = action ? action() : ExitCode::kUsage;
    if (std::fflush(stdout) != 0) return cannot_print();
    return static_cast<int>(code);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);
    return static_cast<int>(print_usage_error(app, error, {argv + 1, argv + argc}));
  } catch (const std::system_error&) {  // from fmt::print
    return cannot_print();
  } catch (const std::exception& error) {
    std::fprintf(stderr, "lastwright: a fault of the program: %s\n", error.what());
    return static_cast<int>(ExitCode::kInternal);
  }
}
