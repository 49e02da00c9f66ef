#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"

using lastwright::test::demo_style;
using lastwright::test::run_binary;
using lastwright::test::says;

TEST_CASE("check proves the demo and lists its differences against a published table", "[check]") {
  const auto plain = run_binary("check " + demo_style() + " --sizes 7,9 --widths E");
  CHECK(plain.exit_code == 0);
  CHECK(says(plain.output, "every check passed"));
  CHECK_FALSE(says(plain.output, "golding"));

  // F. Y. Golding, The Manufacture of Boots and Shoes (London 1902), male scale, 3 fitting: size 5 has a
  // joint of 8 1/4 in, size 6 of 8 1/2 in. The demo is 247 mm in 8 F with 1/4 in a size: 227.95 and 234.30.
  const auto against = run_binary("check " + demo_style() + " --against golding-male-3 --width F");
  CHECK(against.exit_code == 0);
  CHECK(says(against.output, "every check passed"));
  CHECK(says(against.output, "8 1/4 in     209.55   227.95                18.40"));
  CHECK(says(against.output, "8 1/2 in     215.90   234.30                18.40"));
  CHECK(says(against.output, "F. Y. Golding"));
  CHECK(says(against.output, "another base, the same steps"));

  CHECK(run_binary("check " + demo_style() + " --against nothing").exit_code == 2);
  CHECK(run_binary("check " + demo_style() + " --against jis-men").exit_code == 2);  // a table of the foot
  CHECK(run_binary("check /nowhere/style.json").exit_code == 6);
  CHECK(says(run_binary("check /dev/null").output, "not a file; on the command line - is standard input"));
  CHECK(run_binary("check").exit_code == 2);
}

TEST_CASE("check lists the files that a style is read from", "[check]") {
  const auto listed = run_binary("check " + demo_style() + " --list-files");
  const std::string folder = demo_style().substr(0, demo_style().rfind('/') + 1);
  CHECK(listed.exit_code == 0);
  CHECK(listed.output.rfind(demo_style() + "\n", 0) == 0);
  CHECK(says(listed.output, "\n" + folder + "shell.dxf\n"));
  CHECK(says(listed.output, "\n" + folder + "bottom.dxf\n"));
  CHECK(run_binary("check /nowhere/style.json --list-files").exit_code == 6);
}

TEST_CASE("a script is given the bytes of every name", "[check]") {
  // Latin-1, a line end, an escape, a sign that is not seen: a name as it is, or as it can be read.
  const lastwright::ScratchFolder folder;
  const std::string odd = folder / "a\xe9\n\x1b[31m\xe2\x80\x8b'b";
  std::filesystem::create_directory(odd);
  std::filesystem::copy_file(demo_style(), odd + "/style.json");
  const std::string typed =
      "check '" + std::string(folder / "a\xe9\n\x1b[31m\xe2\x80\x8b'\\''b") + "/style.json'";
  const std::string zero(1, '\0');
  CHECK(run_binary(typed + " --list-files --nul").output ==
        odd + "/style.json" + zero + odd + "/shell.dxf" + zero + odd + "/bottom.dxf" + zero);
  const auto shown = run_binary(typed + " --list-files");
  CHECK(says(shown.output, R"(a\xe9 \x1b[31m\u200b'b/style.json)"));
  CHECK_FALSE(says(shown.output, "\x1b"));
  CHECK(run_binary("check " + demo_style() + " --nul").exit_code == 2);
}
