// Girth tables and readings of a style that is nothing but scale, ladder and measures: no forme, no piece, no
// drawing. A child's sandal in Paris points, its widths not all one step apart.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/cli/scratch_folder.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using lastwright::test::run_binary;
using lastwright::test::says;

namespace {

const char* const kSandal = R"({"lastwright_style": 1, "name": "Sandal", "scale": "paris-point",
  "tables": ["ladder.json"], "ladder": "three", "base": {"size": "28", "width": "2"},
  "run": {"from": "24", "to": "32", "by": "1", "widths": ["1", "2", "3"]},
  "measures": {"stick length": {"from_scale": true},
    "ball girth": {"base": "178 mm", "per_size": "5 mm", "per_width": "5 mm"},
    "instep girth": {"base": "182 mm", "per_size": "5 mm", "per_width": "5 mm"}}})";
const char* const kThree =
    R"({"lastwright_table": 1, "kind": "ladder", "key": "three", "title": "Three widths",
  "source": {"text": "invented", "provenance": "from memory"}, "labels": ["1", "2", "3"], "steps": [1, "1/2"]})";

// Four sizes, the first two widths, a pair of each; every last is the next wider width. Off by a fixed
// pattern of half millimetres.
std::string a_width_wide() {
  std::string text = "id;size;width;hand;measure;value;unit\n";
  int number = 0;
  for (const int size : {26, 28, 29, 31}) {
    for (const int width : {1, 2}) {
      ++number;
      const double wider = width == 1 ? 0.0 : 2.5;  // beyond width 2
      for (const char* hand : {"left", "right"}) {
        int measure = 0;
        for (const auto& [name, base] : {std::pair{"ball girth", 178.0}, std::pair{"instep girth", 182.0}}) {
          const double off = 0.5 * ((number * 7 + measure++ * 3 + (*hand == 'l' ? 1 : 0)) % 3 - 1);
          text += "S" + std::to_string(number) + ";" + std::to_string(size) + ";" + std::to_string(width) +
                  ";" + hand + ";" + name + ";" + std::to_string(base + 5.0 * (size - 28) + wider + off) +
                  ";mm\n";
        }
      }
    }
  }
  return text;
}

}  // namespace

TEST_CASE("a style without formes has girth tables, sheets and judged readings", "[girths]") {
  const ScratchFolder folder;
  const auto file = [&](const char* name, const std::string& text) {
    std::ofstream(folder.path() / name, std::ios::binary) << text;
    return "'" + (folder.path() / name).string() + "'";
  };
  file("ladder.json", kThree);
  const std::string style = file("sandal.json", kSandal);
  const auto table = run_binary("girths " + style);
  CHECK(table.exit_code == 0);
  CHECK(says(table.output, "a full width step"));
  CHECK(says(table.output, "steps from the narrowest: 1 0, 2 1, 3 1 1/2"));
  CHECK_FALSE(says(table.output, "works"));
  for (const char* sheet : {" --sizes 27,28", " --plan 'sizes 26 28 30' --sheet", " --plan 'sizes 26 28 30'"})
    CHECK(run_binary("girths " + style + sheet).exit_code == 0);
  const std::string readings = file("readings.csv", a_width_wide());
  const auto judged = run_binary("girths " + style + " --format json --readings " + readings);
  CHECK(judged.exit_code == 1);
  const auto book = test::parsed_json(judged.output);
  for (const auto& one : book["tables"]) {
    if (one["name"] == "findings")
      CHECK(says(one["rows"][0]["finding"].get<std::string>(), "the whole batch is one width wide"));
    if (one["name"] != "not shown") continue;
    // One gauge, and no third width.
    std::vector<std::string> about;
    for (const auto& row : one["rows"]) about.push_back(row["about"]);
    CHECK(std::find(about.begin(), about.end(), "gauge") != about.end());
    CHECK(says(one["rows"].dump(), "some of these readings again with a second gauge"));
  }
  // Labels of several words; a plan whose step is in inches is filled in in inches.
  const std::string boot = file("boot.json", R"({"lastwright_style": 1, "name": "Boot", "scale": "english",
    "ladder": "english-letters", "base": {"size": "child 10", "width": "F"},
    "run": {"from": "child 7", "to": "2", "widths": ["E", "F"]},
    "measures": {"ball girth": {"base": "7 1/4 in", "per_size": "1/4 in", "per_width": "1/4 in"}}})");
  const std::string plan =
      " --plan 'sizes child 8 1 child 10, widths F, pairs 1, step 1/16 in' --sheet --format csv";
  const auto sheet = run_binary("girths " + boot + plan + " --limit 'ball girth 1.5 mm'");
  CHECK(sheet.exit_code == 0);
  // By hand: 6 3/4 in less and more 1.5 mm is 6.691 to 6.809 in, and a reading is good for half a
  // sixteenth: 6.660 to 6.840. 6 11/16 is 6.6875, 6 5/8 is 6.625.
  CHECK(says(sheet.output, "L0001,child 8,F,left,ball girth,,in,,6 11/16,6 13/16"));
  CHECK(says(sheet.output, ",1,F,left,ball girth,,in,,8 3/16,8 5/16"));
  CHECK(run_binary("girths " + boot + " --plan 'sizes child, widths F'").exit_code == 2);
  CHECK(run_binary("girths " + boot + " --plan ''").exit_code == 2);
  // It says itself what it does not serve for.
  const auto check = run_binary("check " + style);
  CHECK(check.exit_code == 3);
  CHECK(says(check.output, "it serves as a table of measures for girths and lasts"));
}
