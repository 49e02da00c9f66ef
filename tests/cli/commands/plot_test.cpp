#include "cli/commands/plot.hpp"

#include <catch2/catch.hpp>
#include <vector>

#include "cli/app.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/low_shoe.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

int plot(const std::string& style, std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), {"lastwright", "plot", style});
  std::vector<const char*> argv;
  for (const std::string& argument : arguments) argv.push_back(argument.c_str());
  return run_lastwright(static_cast<int>(argv.size()), argv.data());
}

}  // namespace

TEST_CASE("a style is plotted, one drawing after the other, the same every time", "[plot]") {
  const ScratchFolder scratch;
  const ScratchFolder folder;
  const std::string style = test::put_low_shoe(folder);
  for (const char* name : {"a.pdf", "b.pdf"})
    REQUIRE(plot(style, {"--out", scratch / name, "--piece", "vamp,quarter", "--size", "8,9", "--paper",
                         "A3"}) == 0);
  const std::string pdf = bytes_of(scratch / "a.pdf");
  CHECK(pdf == bytes_of(scratch / "b.pdf"));
  CHECK(pdf.substr(0, 5) == "%PDF-");
  // An output that exists stays, until force is given.
  CHECK(plot(style, {"--out", scratch / "a.pdf"}) == static_cast<int>(ExitCode::kWouldReplace));
  CHECK(bytes_of(scratch / "a.pdf") == pdf);
  CHECK(plot(style, {"--out", scratch / "a.pdf", "--piece", "vamp", "--force"}) == 0);
  CHECK(bytes_of(scratch / "a.pdf") != pdf);
}

TEST_CASE("papers, sizes and pieces that do not exist are told, and nothing is written", "[plot]") {
  const ScratchFolder scratch;
  const std::string demo = test::demo_style();
  CHECK(plot(demo, {"--out", scratch / "a.pdf", "--paper", "A9"}) == static_cast<int>(ExitCode::kUsage));
  CHECK(plot(demo, {"--out", scratch / "a.pdf", "--size", "99"}) != 0);
  CHECK(plot(demo, {"--out", scratch / "a.pdf", "--piece", "sleeve"}) != 0);
  CHECK(contents(scratch.path()).empty());
}
