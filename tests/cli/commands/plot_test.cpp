#include "cli/commands/plot.hpp"

#include <catch2/catch.hpp>
#include <vector>

#include "cli/app.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

int plot(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), {"lastwright", "plot", test::demo_style()});
  std::vector<const char*> argv;
  for (const std::string& argument : arguments) argv.push_back(argument.c_str());
  return run_lastwright(static_cast<int>(argv.size()), argv.data());
}

}  // namespace

TEST_CASE("the demo is plotted, one drawing after the other, the same every time", "[plot]") {
  const ScratchFolder scratch;
  REQUIRE(plot({"--out", scratch / "a.pdf", "--piece", "vamp,tongue", "--size", "8,9", "--paper", "A3"}) ==
          0);
  REQUIRE(plot({"--out", scratch / "b.pdf", "--piece", "vamp,tongue", "--size", "8,9", "--paper", "A3"}) ==
          0);
  const std::string pdf = bytes_of(scratch / "a.pdf");
  CHECK(pdf == bytes_of(scratch / "b.pdf"));
  CHECK(pdf.substr(0, 5) == "%PDF-");
  // An output that exists stays, until force is given.
  CHECK(plot({"--out", scratch / "a.pdf"}) == static_cast<int>(ExitCode::kWouldReplace));
  CHECK(bytes_of(scratch / "a.pdf") == pdf);
  CHECK(plot({"--out", scratch / "a.pdf", "--piece", "vamp", "--force"}) == 0);
  CHECK(bytes_of(scratch / "a.pdf") != pdf);
}

TEST_CASE("papers, sizes and pieces that do not exist are told, and nothing is written", "[plot]") {
  const ScratchFolder scratch;
  CHECK(plot({"--out", scratch / "a.pdf", "--paper", "A9"}) == static_cast<int>(ExitCode::kUsage));
  CHECK(plot({"--out", scratch / "a.pdf", "--size", "99"}) != 0);
  CHECK(plot({"--out", scratch / "a.pdf", "--piece", "sleeve"}) != 0);
  CHECK(contents(scratch.path()).empty());
}
