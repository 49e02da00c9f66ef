#include <cerrno>
#include <cstdio>
#include <exception>
#include <system_error>

#include "cli/last/commands.hpp"
#include "cli/print.hpp"
#include "geometry/files/file_system.hpp"

using namespace lastwright;

namespace {

int cannot_print() {
  return static_cast<int>(print_problem(file_problem("write the output", "standard output", errno)));
}

}  // namespace

int main(int argc, char** argv) {
  ignore_write_signals();
  Program app("lastwright last", "Measure, grade, flatten and verify lasts in 3D");
  Action action;
  add_last_measure(app, action);
  add_last_grade(app, action);
  add_last_verify(app, action);
  add_last_formes(app, action);
  try {
    if (const auto done = app.read(argc, argv)) return static_cast<int>(*done);
    const ExitCode code = action ? action() : ExitCode::kUsage;
    if (std::fflush(stdout) != 0) return cannot_print();
    return static_cast<int>(unless_unsaid(code));
  } catch (const std::system_error&) {  // from fmt::print
    return cannot_print();
  } catch (const std::exception& error) {
    std::fprintf(stderr, "lastwright: a fault of the program: %s\n", error.what());
    return static_cast<int>(ExitCode::kInternal);
  }
}
