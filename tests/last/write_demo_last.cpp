// Writes the demo last: the recipe of demo_last.cpp, settled on the demo style's table. Run by hand after the
// recipe changes:  build/dev/tests/last/write_demo_last demo-patterns/cindergarth/last.step
#include <fmt/format.h>

#include <fstream>

#include "tests/last/demo_last.hpp"

int main(int count, char** arguments) {
  const lastwright::Result<std::string> step = lastwright::demo_last_step();
  if (count != 2 || !step) {
    fmt::print(stderr, "{}\n", step ? "usage: write_demo_last FILE" : to_text(step.problem()));
    return 1;
  }
  std::ofstream(arguments[1], std::ios::binary) << *step;
  return 0;
}
