#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "cli/tables/readings_csv.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using lastwright::test::demo_style;
using lastwright::test::run_binary;
using lastwright::test::says;

namespace {

// A file that goes with the test.
class TextFile {
 public:
  TextFile(const std::string& name, const std::string& text)
      : path_(std::filesystem::temp_directory_path() / ("lastwright-girths-" + name)) {
    std::ofstream(path_, std::ios::binary) << text;
  }
  TextFile(const TextFile&) = delete;
  TextFile& operator=(const TextFile&) = delete;
  ~TextFile() { std::filesystem::remove(path_); }
  [[nodiscard]] std::string quoted() const { return "'" + path_.string() + "'"; }

 private:
  std::filesystem::path path_;
};

const std::string kHeader = "id,size,width,hand,measure,value,unit,gauge\n";

}  // namespace

TEST_CASE("readings are read as people keep them", "[girths]") {
  const auto read = parse_readings(
      "\xEF\xBB\xBF# shop floor\r\nmeasure,id,size,width,hand,value,unit\r\n\r\n"
      "ball girth,A1,8,F,left,246.5,mm\r\n"
      "ball girth,A1,8,F,right,246,5,mm\r\n"
      "\"ball girth\",\"A \"\"1\"\"\",8,F,left,\"9 11/16\",in\r\n"
      "\"ball girth,A1,8,F,left,246.5,mm\r\n"
      "ball girth,A1,8\n"
      "instep girth,A2,8,F,left,256,mm",
      "r.csv");
  REQUIRE(read);
  REQUIRE(read->rows.size() == 3);
  CHECK(read->rows[0].line == 4);
  CHECK(read->rows[1].id == "A \"1\"");
  CHECK(read->rows[1].value == "9 11/16");
  CHECK(read->rows[2].line == 9);
  REQUIRE(read->bad_rows.size() == 3);
  CHECK(read->bad_rows[0].place.line == 5);
  CHECK(says(read->bad_rows[0].message, "decimal comma"));
  CHECK(says(read->bad_rows[1].message, "quote"));
  CHECK(read->bad_rows[2].place.line == 8);
  // Readings of a last called #7 are not a note.
  const auto numbered = parse_readings(
      "id,size,width,hand,measure,value,unit\n#7,8,F,left,ball girth,246.5,mm\n# second tape, from here\n"
      "\"#8\",8,F,left,ball girth,246.5,mm\n",
      "r.csv");
  REQUIRE(numbered);
  REQUIRE(numbered->rows.size() == 1);
  CHECK(numbered->rows[0].id == "#8");
  REQUIRE(numbered->bad_rows.size() == 1);
  CHECK(numbered->bad_rows[0].place.line == 2);
  CHECK(says(parse_readings("", "r.csv").problem().message, "empty"));
  CHECK(says(parse_readings("id,size,width,hand,measure,value\n", "r.csv").problem().message,
             "\"unit\" is missing"));
  CHECK(says(parse_readings("id,sise,width,hand,measure,value,unit\n", "r.csv").problem().message,
             "did you mean \"size\""));
  CHECK(
      says(parse_readings("id,id,size,width,hand,measure,value,unit\n", "r.csv").problem().message, "twice"));
}

TEST_CASE("readings are read whatever parts their fields", "[girths]") {
  const std::string semicolons =
      "ID;Size;Width;Hand;Measure;Value;Unit;Operator\r\nA1;8,5;F;Left;ball girth;246,5;mm;Jo\r\n;;;;;;;\r\n";
  for (const std::string& text : {semicolons, "sep=;\r\n" + semicolons}) {
    const auto read = parse_readings(text, "r.csv");
    REQUIRE(read);
    REQUIRE(read->rows.size() == 1);
    CHECK(read->bad_rows.empty());
    CHECK(read->rows[0].size == "8.5");
    CHECK(read->rows[0].value == "246.5");
    CHECK(read->other_columns == std::vector<std::string>{"Operator"});
    CHECK(read->rows[0].others == std::vector<std::string>{"Jo"});
  }
  const auto tabs = parse_readings(
      "id\tsize\twidth\thand\tmeasure\tvalue\tunit\nA\t8\tF\tL\tball girth\t9 23/32\"\t\n", "r.tsv");
  REQUIRE(tabs);
  REQUIRE(tabs->rows.size() == 1);
  CHECK(tabs->rows[0].value == "9 23/32\"");
  // Saved from a sheet with titles above; lines are those of the file.
  for (const std::string& titles : {std::string("Readings of Monday\r\n\r\nby Jo, at the bench;;\r\n"),
                                    std::string("\"sep=;\"\r\nMonday\r\n\r\n")}) {
    const auto titled = parse_readings(titles + semicolons, "r.csv");
    REQUIRE(titled);
    REQUIRE(titled->rows.size() == 1);
    CHECK(titled->rows[0].line == 5);
    CHECK(titled->rows[0].value == "246.5");
  }
  CHECK(
      says(parse_readings("Readings of Monday\nA1,8,F,left,ball girth,246.5,mm\n", "r.csv").problem().message,
           "the column \"id\" is missing"));
  // A name that is nearly a known one is no column to be kept.
  CHECK(says(parse_readings("id,size,width,hand,measure,value,unit,guage\n", "r.csv").problem().message,
             "did you mean \"gauge\""));
}

TEST_CASE("an option twice, or without its value, is refused in plain words", "[girths]") {
  const auto twice = run_binary("girths x.json --plan 'sizes 8' --plan 'sizes 9'");
  CHECK(twice.exit_code == 2);
  CHECK(says(twice.output, "--plan is given 2 times; once will do"));
  const auto bare = run_binary("girths x.json --format");
  CHECK(bare.exit_code == 2);
  CHECK(says(bare.output, "--format needs a value"));
}

TEST_CASE("girths prints tables in millimetres and inches", "[girths]") {
  const auto chart = run_binary("girths " + demo_style() + " --measure 'ball girth' --inches 32");
  CHECK(chart.exit_code == 0);
  // 247 mm in 8 F; 1/4 in a size and a width.
  CHECK(says(
      chart.output,
      "8     234.30  240.65  247.00  253.35  259.70    ~9 7/32   ~9 15/32   ~9 23/32   ~9 31/32   ~10 7/32"));
  CHECK(says(chart.output, "F. Y. Golding"));
  // 247 - 3.5 x 6.35 = 224.775, and one step of 6.35 more: halves of the last digit, rounded alike.
  CHECK(says(chart.output, "224.78  231.13"));
  const auto rows = run_binary("girths " + demo_style() + " --format csv");
  CHECK(says(rows.output, "\n8.5,G,ball girth,256.525,10.099\r\n"));
  const auto json = test::parsed_json(run_binary("girths " + demo_style() + " --format json").output);
  CHECK(json.at("tables").at(0).at("rows").size() == 85 * 10);
  CHECK(run_binary("girths " + demo_style() + " --measure 'bal girth'").exit_code == 2);
  CHECK(run_binary("girths /nowhere.json").exit_code == 6);
}

TEST_CASE("girths lists the differences against a table", "[girths]") {
  const auto run = run_binary("girths " + demo_style() + " --against golding-male-3");
  CHECK(run.exit_code == 0);
  // 247 - 3 x 6.35 = 227.95 in 5 F; the handbook's 5 is 8 1/4 in = 209.55 mm.
  CHECK(says(run.output, "ball girth    5     F        8 1/4 in     209.55   227.95                18.40"));
  CHECK(says(run.output, "another base, the same steps"));
  CHECK(run_binary("girths " + demo_style() + " --against jis-men").exit_code == 2);
  const auto foot = run_binary("girths " + demo_style() +
                               " --against jis-men --their-width EE --allowance 'toe 20 mm; works practice' "
                               "--allowance 'ball girth -5 mm' --only differences --format csv");
  CHECK(foot.exit_code == 0);
  CHECK(foot.output.starts_with("measure,size,width,printed,"));
  CHECK(says(foot.output, "foot 25 EE"));
  CHECK(run_binary("girths " + demo_style() + " --against nothing").exit_code == 2);
}

TEST_CASE("options given twice or against each other end with 2, and nothing asked for is left out silently",
          "[girths]") {
  const std::string plan = " --plan 'sizes 8 9'";
  for (const std::string& options : std::vector<std::string>{
           " --measure 'ball girth' --measure 'ball girth'",
           " --sizes 8 --measure 'ball girth' --measure nosuch", " --sizes 8,8", " --sizes 8 --widths F,F",
           " --plan 'sizes 8 8'", plan + " --measure nosuch",
           plan + " --measure 'ball girth' --measure 'ball girth'", plan + " --sheet --sure 0.9",
           plan + " --limits-table common", " --limits-table common", " --sure 0.9", " --only nosuch",
           " --only increments --only increments", " --allowance 'toe 20 mm'", " --their-width EE"}) {
    INFO(options);
    CHECK(run_binary("girths " + demo_style() + options).exit_code == 2);
  }
  CHECK(
      says(run_binary("girths " + demo_style() + " --sizes '8 1/2' --widths F").output, "Size 8.5, width F"));
  const auto alone = run_binary("girths " + demo_style() + " --only increments --format csv");
  CHECK(alone.output.starts_with("measure,base_mm,"));
  CHECK_FALSE(says(alone.output, "#"));
  CHECK(run_binary("girths " + demo_style() + plan + " --sheet --format pdf").output.starts_with("%PDF-"));
  // A limit of one measure stands beside one of all, whichever comes first.
  const TextFile file("order.csv", kHeader + "A,8,F,left,ball girth,248,mm,T1\n");
  for (const char* limits :
       {" --limit '* 0.2 mm' --limit 'ball girth 2 mm'", " --limit 'ball girth 2 mm' --limit '* 0.2 mm'"})
    CHECK(run_binary("girths " + demo_style() + limits + " --readings " + file.quoted()).exit_code == 0);
}

TEST_CASE("readings are judged, the exit code tells", "[girths]") {
  const std::string good =
      kHeader + "A,8,F,left,ball girth,247.5,mm,T1\nA,8,F,right,ball girth,246.5,mm,T1\n";
  const TextFile good_file("good.csv", good);
  const auto fine = run_binary("girths " + demo_style() + " --readings " + good_file.quoted());
  CHECK(fine.exit_code == 0);
  CHECK(says(fine.output, "tolerances are the user's own"));
  CHECK(says(fine.output, "common practice"));
  CHECK(run_binary("girths " + demo_style() + " --limit 'ball girth 0.2 mm' --readings " + good_file.quoted())
            .exit_code == 1);
  CHECK(run_binary("girths " + demo_style() + " --pair-limit 'ball girth 0.4 mm' --readings " +
                   good_file.quoted())
            .exit_code == 1);

  const TextFile stamped("stamp.csv",
                         kHeader +
                             "B,9,F,left,ball girth,247,mm,T1\nB,9,F,left,stick length,279.5,mm,T1\n"
                             "B,9,F,left,instep girth,256,mm,T1\n");
  const auto named = run_binary("girths " + demo_style() + " --readings " + stamped.quoted());
  CHECK(named.exit_code == 1);
  CHECK(says(named.output, "B left, stamped 9 F: its readings are those of 8 F"));
  const auto page = run_binary("girths " + demo_style() + " --format html --readings " + stamped.quoted());
  CHECK(says(page.output, "<tr class=\"failing\"><td class=\"text\" data-of=\"about\">stamp</td>"));

  const TextFile bad("bad.csv", good + "C,8,F,left,ball girth,247,,T1\nC,8,F,left,ball girth,24.7,mm,T1\n");
  const auto listed = run_binary("girths " + demo_style() + " --format json --readings " + bad.quoted());
  CHECK(listed.exit_code == 3);
  const auto root = test::parsed_json(listed.output);
  CHECK(root.at("tables").at(1).at("rows").at(0).at("line") == 4);
  CHECK(root.at("tables").at(1).at("rows").at(1).at("line") == 5);
  CHECK(root.at("facts").at("readings") == "2 judged, 0 beyond their limit");
  // A header and nothing below is no batch.
  const TextFile empty("empty.csv", kHeader);
  const auto nothing = run_binary("girths " + demo_style() + " --readings " + empty.quoted());
  CHECK(nothing.exit_code == 3);
  CHECK(says(nothing.output, "no reading under the header"));
  CHECK(run_binary("girths " + demo_style() + " --limit 'ball girth 1 mm'").exit_code == 2);
  const auto twice =
      run_binary("girths " + demo_style() +
                 " --limit 'ball girth 1 mm' --limit 'ball girth 2 mm' --readings " + good_file.quoted());
  CHECK(twice.exit_code == 2);
  CHECK(says(twice.output, "two limits"));
  CHECK(run_binary("girths " + demo_style() + " --inches 32 --against golding-male-3").exit_code == 2);
  CHECK(run_binary("girths " + demo_style() + " --readings /nowhere.csv").exit_code == 6);
  CHECK(run_binary("girths " + demo_style() + " --limit 'girth 1 mm' --readings " + good_file.quoted())
            .exit_code == 2);
}

TEST_CASE("girths writes a file whole and never over another unasked", "[girths]") {
  const TextFile out("out.xlsx", "mine");
  CHECK(run_binary("girths " + demo_style() + " --format xlsx --out " + out.quoted()).exit_code == 5);
  CHECK(run_binary("girths " + demo_style() + " --format xlsx --force --out " + out.quoted()).exit_code == 0);
  const auto shown = run_binary("girths " + demo_style() + " --format xlsx | cmp - " + out.quoted());
  CHECK(shown.exit_code == 0);
}

TEST_CASE("girths of a style whose lines are not as long as its table says ends with 1", "[girths]") {
  std::ifstream in(test::project_dir() + "/demo-patterns/cindergarth/style.json");
  Json style = test::parsed_json(in);
  bool changed = false;
  for (auto& [name, measure] : style.at("measures").items()) {
    if (name != "tread" || !measure.contains("base")) continue;
    measure["base"] = "80 mm";
    changed = true;
  }
  REQUIRE(changed);
  const TextFile file("failing.json", style.dump());
  const auto run = run_binary("girths " + file.quoted());
  INFO(run.output);
  CHECK(run.exit_code == 1);
  CHECK(says(run.output, "CHECK FAILED: base and drawing"));
  CHECK(says(run.output, "tread"));
}

TEST_CASE("girths tells what a plan of readings would show", "[girths]") {
  const auto few = run_binary("girths " + demo_style() +
                              " --plan 'sizes 7 8 9, pairs 2, gauges 2' --format json "
                              "--measure 'stick length' --measure 'ball girth' --measure 'instep girth'");
  CHECK(few.exit_code == 0);
  const auto rows = test::parsed_json(few.output).at("tables").at(0).at("rows");
  std::map<std::string, double> power;
  for (const auto& row : rows) power[row.at("fault")] = row.at("power");
  // 12 lasts: a wrong increment shows, a drifted size does not (tests/bench/readings_map.sh: 1 of 8).
  CHECK(power.at("a step by size of all girths off by 1/16 in (3/16 in for 1/4 in)") > 95.0);
  CHECK(power.at("one measure of one size off by 1.5 mm") < 40.0);
  // One width tells no step by width, and it is said what would.
  for (const auto& row : rows) {
    if (row.at("fault").get<std::string>().starts_with("a step by width"))
      CHECK((row.at("power") == 0.0 && row.at("besides") == "another width"));
  }
  for (const char* plan :
       {"", "pairs 2", "sizes 99", "sizes 8, pairs 0", "sizes 8, pears 2", "sizes 8, sizes 9"}) {
    INFO(plan);
    if (*plan) CHECK(run_binary("girths " + demo_style() + " --plan '" + plan + "'").exit_code == 2);
  }
  CHECK(run_binary("girths " + demo_style() + " --sheet").exit_code == 2);
}

TEST_CASE("a sheet for the floor has limits beside the values, and boxes", "[girths]") {
  const auto sheet =
      run_binary("girths " + demo_style() +
                 " --sizes 8,9 --widths F --limit 'ball girth -1 +2 mm' --measure 'ball girth'");
  CHECK(sheet.exit_code == 0);
  CHECK(says(sheet.output, "Size 8, width F"));
  CHECK(says(sheet.output, "Size 9, width F"));
  CHECK(says(sheet.output, "[        ]"));
  const auto json = run_binary("girths " + demo_style() +
                               " --sizes 9 --widths G --limit 'ball girth -1 +2 mm' --format json");
  const auto tables = test::parsed_json(json.output).at("tables");
  REQUIRE(tables.size() == 1);
  bool found = false;
  for (const auto& row : tables.at(0).at("rows")) {
    if (row.at("measure") != "ball girth") continue;
    found = true;  // 247 mm in 8 F, 1/4 in more for each size and width
    CHECK(row.at("wanted_mm") == Approx(247.0 + 2 * 6.35).margin(0.051));
    // 258.7 to 261.7, and a reading noted to 0.5 mm is good for a quarter of one: 258.45 to 261.95.
    CHECK(row.at("not_under_mm") == Approx(258.5));
    CHECK(row.at("not_over_mm") == Approx(261.5));
  }
  CHECK(found);
  // What has no limit says so; limits that hold nowhere have no column, and each source names its measures.
  const auto whole = run_binary("girths " + demo_style() + " --sizes 8 --widths F --format html");
  CHECK(says(whole.output, ">no limit</td><td data-of=\"wanted, mm\">217.0</td>"));
  CHECK(says(whole.output, "<td class=\"fill\" data-of=\"left, read\"></td>"));
  CHECK(says(whole.output, "; short heel, long heel, tread, seat: by default, "));
  // The sheet to fill in says the same of its limits, all of them in JSON too.
  const auto fact = [&](const char* options) {
    const auto printed =
        run_binary("girths " + demo_style() + options + " --format json --limit 'seat 1 mm'");
    return test::parsed_json(printed.output).at("facts").at("limits").get<std::string>();
  };
  const std::string limits = fact(" --plan 'sizes 8, pairs 1' --sheet");
  CHECK(limits == fact(" --sizes 8 --widths F"));
  CHECK(says(limits, "short heel, long heel, tread: by default, "));
  CHECK(says(limits, "; seat: "));
  const auto free =
      run_binary("girths " + demo_style() + " --sizes 8 --widths F --measure 'ankle girth' --format csv");
  CHECK(says(free.output, "wanted_mm"));
  CHECK_FALSE(says(free.output, "not_under"));
  CHECK(run_binary("girths " + demo_style() + " --sizes 99").exit_code == 2);
  CHECK(run_binary("girths " + demo_style() + " --widths F --plan 'sizes 8, pairs 1'").exit_code == 2);
}

TEST_CASE("what becomes of a batch stands in one line", "[girths]") {
  // Two sound pairs and one whose right ball girth is 4 mm over.
  std::string text = kHeader;
  const auto last = [&text](const std::string& id, const char* hand, double ball, double instep) {
    text += id + ",8,F," + hand + ",ball girth," + std::to_string(ball) + ",mm,g\n";
    text += id + ",8,F," + hand + ",instep girth," + std::to_string(instep) + ",mm,g\n";
  };
  for (const char* hand : {"left", "right"}) {
    last("P10", hand, 247.2, 256.1);
    last("P2", hand, 246.9, 255.8);
    last("P3", hand, *hand == 'l' ? 247.0 : 251.0, 256.0);
  }
  const TextFile batch("batch.csv", text);
  const auto judged = run_binary("girths " + demo_style() + " --readings " + batch.quoted());
  CHECK(judged.exit_code == 1);
  INFO(judged.output.substr(0, 600));
  CHECK(says(judged.output, "accept 2 of 3 pairs; hold P3 ("));
  CHECK(says(judged.output, "ball girth 4.00 mm over"));
  // Each last with an id of its own, and P2 before P10.
  std::string singles = kHeader;
  for (const char* id : {"P10", "P2", "P1"})
    singles += std::string(id) + ",8,F,left,ball girth,247," + "mm,g\n";
  const TextFile of_lasts("lasts.csv", singles);
  const auto lasts = run_binary("girths " + demo_style() + " --readings " + of_lasts.quoted());
  CHECK(says(lasts.output, "accept 3 of 3 lasts"));
  const auto rows =
      run_binary("girths " + demo_style() + " --only lasts --format csv --readings " + of_lasts.quoted());
  CHECK(rows.output.find("\nP1,") < rows.output.find("\nP2,"));
  CHECK(rows.output.find("\nP2,") < rows.output.find("\nP10,"));
}

TEST_CASE("a sheet of readings reads back when it is filled in", "[girths]") {
  const auto sheet = run_binary("girths " + demo_style() +
                                " --plan 'sizes 8, pairs 1' --sheet --format csv --measure 'ball girth'");
  CHECK(sheet.exit_code == 0);
  CHECK(says(sheet.output, "# limits: by default, "));
  const TextFile blank("blank.csv", sheet.output);
  CHECK(run_binary("girths " + demo_style() + " --readings " + blank.quoted()).exit_code == 3);
  std::string text = sheet.output;
  const std::size_t at = text.find("ball girth,,mm");
  REQUIRE(at != std::string::npos);
  text.insert(at + 11, "247");
  const TextFile filled("filled.csv", text);
  const auto judged = run_binary("girths " + demo_style() + " --readings " + filled.quoted());
  CHECK(judged.exit_code == 0);
  CHECK(says(judged.output, "1 judged, 0 beyond"));
  CHECK(says(judged.output, "1, passed over"));
  CHECK(says(judged.output, "; not read at all: "));
  CHECK(says(judged.output, "not_over_mm"));  // further columns are kept
}

TEST_CASE("both lasts of a pair noted as one hand are told, with their lines", "[girths]") {
  const TextFile noted("one-hand.csv",
                       kHeader +
                           "P1,8,F,left,ball girth,247,mm,\nP1,8,F,left,ball girth,247.5,mm,\n"
                           "P1,8,F,left,instep girth,250,mm,\nP1,8,F,right,instep girth,250,mm,\n"
                           "P2,8,F,left,ball girth,247,mm,\nP2,8,F,left,ball girth,247,mm,\n"
                           "P2,8,F,right,ball girth,247,mm,\n");
  const auto judged = run_binary("girths " + demo_style() + " --readings " + noted.quoted());
  CHECK(says(judged.output, "its hand is noted wrong: P1 left: ball girth (lines 2, 3)\n"));
}
