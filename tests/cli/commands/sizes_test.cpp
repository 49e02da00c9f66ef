#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"

using lastwright::test::run_binary;
using lastwright::test::says;

TEST_CASE("sizes prints a run across the restart", "[sizes]") {
  const auto run = run_binary("sizes --from 'child 13' --to 2 --by 1/2");
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "child 13.5     215.90      8 1/2\n1              220.13      8 2/3\n"));
  CHECK(says(run.output, "London 1902 (published)"));
}

TEST_CASE("sizes lists and shows tables", "[sizes]") {
  CHECK(says(run_binary("sizes --list").output, "jis-women"));
  CHECK_FALSE(says(run_binary("sizes --list scale").output, "ladder"));
  const auto golding = run_binary("sizes --show printed-golding-male-3 --format csv");
  CHECK(says(golding.output, "\n5,,tread,3 1/12,78.32,\r\n"));
  CHECK(says(golding.output, "\nchild 1,,instep girth,4 21/32,118.27,a digit"));
  for (const char* name : {"ladder-jis-letters", "measures-jis-men", "marking-iso-19407-adult",
                           "increments-by-system", "limits-common", "scale-chinese"}) {
    INFO(name);
    CHECK(run_binary(std::string("sizes --show ") + name).exit_code == 0);
  }
}

TEST_CASE("sizes converts through named allowances only and prints who says so", "[sizes]") {
  const auto refused = run_binary("sizes --scale mondopoint-5 --to-scale english");
  CHECK(refused.exit_code == 2);
  CHECK(says(refused.output, "named allowance"));
  const auto run = run_binary(
      "sizes --scale jis-men --from 25 --to 25.5 --to-scale english --allowance 'toe 20 mm; works practice' "
      "--allowance 'back -5 mm'");
  CHECK(run.exit_code == 0);
  CHECK(says(run.output,
             "25.5          255.00                 270.00  7                  270.93           0.93"));
  CHECK(says(run.output, "(works practice)"));
  CHECK(says(run.output, "no source named"));
}

TEST_CASE("sizes prints a style's run with its measures", "[sizes]") {
  const std::string style = lastwright::test::demo_style();
  const auto run = run_binary("sizes " + style + " --width G --format csv");
  CHECK(run.exit_code == 0);
  CHECK(says(run.output, "size,length_mm,length_in,stick_length_mm,ball_girth_mm"));
  CHECK(says(run.output, "\n8.5,283.63,11 1/6,283.63,256.53,"));  // 247 mm, half a size and a width of 1/4 in
  CHECK(run_binary("sizes " + style + " --width K").exit_code == 0);
  CHECK(run_binary("sizes " + style + " --width Q").exit_code == 2);
  CHECK(run_binary("sizes --width F").exit_code == 2);
}

TEST_CASE("sizes says what is wrong and ends with the code of its family", "[sizes]") {
  struct Case {
    const char* arguments;
    int exit_code;
    const char* says;
  };
  const Case cases[] = {{"sizes --scale englsh", 2, "did you mean \"english\""},
                        {"sizes --from 8.25", 2, "8 or 8.5"},
                        {"sizes --by 0", 2, "above 0"},
                        {"sizes --from 8 --to 5", 2, "smaller to the larger"},
                        {"sizes --show jis-men", 2, "say which: measures-jis-men"},
                        {"sizes --show nothing-here", 2, "no table"},
                        {"sizes --format odt", 2, "xlsx and pdf are known"},
                        {"sizes --allowance 'toe 20 mm'", 2, "--to-scale"},
                        {"sizes --table /nowhere/x.json", 6, "/nowhere/x.json: there is no such file"},
                        {"sizes --nonsense", 2, "--nonsense"}};
  for (const Case& one : cases) {
    INFO(one.arguments);
    const auto run = run_binary(one.arguments);
    INFO(run.output);
    CHECK(run.exit_code == one.exit_code);
    CHECK(says(run.output, one.says));
  }
}

TEST_CASE("a user's tables may come in any order; a bad one is refused with its pointer", "[sizes]") {
  const auto folder = std::filesystem::temp_directory_path() / "lastwright-sizes-test";
  std::filesystem::create_directories(folder);
  const std::string source = R"("source": {"text": "us", "provenance": "common practice"})";
  std::ofstream(folder / "girths.json")
      << R"({"lastwright_table": 1, "kind": "measures", "key": "own", "title": "Own", )" << source
      << R"(, "scale": "own", "of": "last", "base": {"size": "40"},
          "measures": {"ball girth": {"base": 250, "per_size": 5, "per_width": 0}}})";
  std::ofstream(folder / "scale.json")
      << R"({"lastwright_table": 1, "kind": "scale", "key": "own", "title": "Own", )" << source
      << R"(, "sizes": "last", "zero_length": 0, "step": "2/3 cm", "runs": [{"from": 36, "to": 46}]})";
  std::ofstream(folder / "bad.json")
      << R"({"lastwright_table": 1, "kind": "scale", "key": "bad", "title": "Bad", )" << source
      << R"(, "sizes": "last", "zero_length": 0, "step": "2,3 cm", "runs": [{"from": 36, "to": 46}]})";
  const std::string f = folder.string();
  const auto shown =
      run_binary("sizes --show measures-own --table " + f + "/girths.json --table " + f + "/scale.json");
  CHECK(shown.exit_code == 0);
  CHECK(says(shown.output, "46           280.00"));
  const auto bad = run_binary("sizes --list --table " + f + "/bad.json");
  CHECK(bad.exit_code == 3);
  CHECK(says(bad.output, "bad.json:1: at /step: \"2,3 cm\" has a comma"));
  std::filesystem::remove_all(folder);
}
