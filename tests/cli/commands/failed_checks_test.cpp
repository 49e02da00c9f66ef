// A style whose checks fail is told of by every command that leads to cut leather: by its exit code, on
// standard error and in what it writes.
#include "cli/report/failed_checks.hpp"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/app.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;

namespace {

constexpr const char* kHide =
    R"({"lastwright_works": 1, "styles": {"Low shoe": "s.json"}, "materials": {"": {"bought_as": "sheets", "length_mm": 900, "width_mm": 600}}})";

int run(std::vector<std::string> words) {
  words.insert(words.begin(), "lastwright");
  std::vector<const char*> argv;
  for (const std::string& word : words) argv.push_back(word.c_str());
  return run_lastwright(static_cast<int>(argv.size()), argv.data());
}

// The commands with all they need but the folder that they write.
std::vector<std::vector<std::string>> commands(const ScratchFolder& folder) {
  const std::string style = folder / "s.json";
  const std::string order = folder / "order.csv";
  const std::string works = folder / "works.json";
  put(order, "size,width,pairs,period\n8,F,2,9\n");
  put(works, kHide);
  put(folder / "hide.dxf",
      test::drawing(test::polyline({{0, 0}, {2000, 0}, {2000, 1000}, {0, 1000}}, "hide")));
  return {{"grade", style},
          {"dies", style},
          {"cut", style, "--roll", "900"},
          {"areas", style, "--sizes", "8", "--widths", "F"},
          {"hide", style, "--hide", folder / "hide.dxf", "--pairs", "1"},
          {"needs", order, "--works", works},
          {"tickets", order, "--works", works},
          {"dates", works, "--order", order}};
}

bool holds_words(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string all_text(const std::map<std::string, std::string>& files) {
  std::string all;
  for (const auto& [name, bytes] : files) all += name + "\n" + bytes;
  return all;
}

}  // namespace

TEST_CASE("what leads to cut leather says that checks fail, in its exit code and in its files", "[failed]") {
  const test::TextChanges wrong{{"\"base\": \"180.08 mm\"", "\"base\": \"300 mm\""}};
  std::string sound_labels;
  for (const bool fails : {false, true}) {
    const ScratchFolder folder;
    test::put_low_shoe(folder, fails ? wrong : test::TextChanges{},
                       test::polyline({{900, 0}, {950, 0}, {950, 30}}, "NOTES"));
    for (const std::vector<std::string>& command : commands(folder)) {
      INFO(command.front() << (fails ? ", a style that fails" : ", a sound style"));
      std::vector<std::string> words = command;
      words.insert(words.end(), {"--out", folder / command.front(), "--threads", "1"});
      CHECK(run(words) == (fails ? 1 : 0));
      const std::string text = all_text(contents(folder / command.front()));
      CHECK((text.find("CHECKS FAILED") != std::string::npos ||
             text.find("\"subject\": \"ball girth\"") != std::string::npos) == fails);
    }
    // Each file that may be carried away alone says it.
    for (const auto& [name, bytes] : contents(folder / "dies")) {
      INFO(name);
      const bool table = name == "die-order.csv" || name == "die-notes.csv";
      if (!table && name.find(".dxf") == std::string::npos) continue;
      CHECK(holds_words(bytes, "CHECKS FAILED: Low shoe: base share") == fails);
      CHECK(holds_words(bytes, ",passed\r\n") == (!fails && name == "die-order.csv"));
    }
    const auto hide = contents(folder / "hide");
    for (const char* const name : {"hide.dxf", "hide.svg"})
      CHECK(holds_words(hide.at(name), "CHECKS FAILED: Low shoe: base share") == fails);
    for (const char* const name : {"hide.json", "hide.html"})  // what the drawing holds and no piece has
      CHECK(holds_words(hide.at(name), "1 LWPOLYLINE on the layer NOTES"));
    CHECK(contents(folder / "cut").count("CHECKS FAILED roll 1.plt") == (fails ? 1 : 0));
    CHECK(run({"cut", folder / "s.json", "--roll", "900", "--as", "dxf", "--out", folder / "drawn",
               "--threads", "1"}) == (fails ? 1 : 0));
    const std::string roll = contents(folder / "drawn").at("roll 1.dxf");
    CHECK(holds_words(roll, "CHECKS FAILED: Low shoe: base share") == fails);
    if (fails) {
      const std::string before = roll.substr(0, roll.find("CHECKS FAILED"));
      CHECK(before.substr(before.rfind("\n8\n") + 3, 5) == "TEXT\n");  // on a layer that is not cut
    }
    for (const char* const name : {"needs", "tickets", "dates"}) {
      INFO(name);
      const std::map<std::string, std::string> files = contents(folder / name);
      CHECK(files.count("CHECKS FAILED.csv") == (fails ? 1 : 0));
      CHECK(holds_words(files.at(std::string(name) + ".json"), "\"ball girth\"") == fails);
      if (const auto page = files.find(std::string(name) + ".html"); page != files.end())
        CHECK(holds_words(page->second, "CHECKS FAILED: Low shoe: base share") == fails);
    }
    // Of an order of a style and size, nothing else can differ on the labels.
    const std::string labels = contents(folder / "tickets").at("labels.pdf");
    if (!fails) sound_labels = labels;
    CHECK((labels != sound_labels) == fails);
    CHECK(run({"plot", folder / "s.json", "--out", folder / "plot.pdf", "--threads", "1"}) ==
          (fails ? 1 : 0));
  }
}

TEST_CASE("what grade refuses check refuses with the same exit code", "[failed]") {
  const auto codes = [](const test::TextChanges& changes) {
    const ScratchFolder folder;
    const std::string style = test::put_low_shoe(folder, changes);
    return std::vector<int>{
        run({"check", style, "--threads", "1"}),
        run({"grade", style, "--out", folder / "set", "--threads", "1", "--sheets", "none"}),
        run({"dies", style, "--out", folder / "dies", "--threads", "1"})};
  };
  CHECK(codes({}) == std::vector<int>{0, 0, 0});
  // A row without room for its holes, and an allowance that does not fit.
  CHECK(
      codes(test::features(
          R"({"eyelets": "e", "edges": ["side"], "inset": 4, "margin": 20, "count": 3, "diameter": 2.5})")) ==
      std::vector<int>{4, 4, 4});
  CHECK(
      codes(
          {{R"({"name": "side", "from": "side top", "to": "side foot"})",
            R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "lap", "allowance": 8})"},
           {R"({"measure_line": "stick", "from")",
            R"({"point": "side foot", "per_size": [0, 0], "per_width": [0, 0]},
        {"measure_line": "stick", "from")"}})[0] != 4);  // a limit that is missed is no refusal
}

TEST_CASE("needs, tickets and dates tell the same of the order", "[failed]") {
  const ScratchFolder folder;
  // Many kinds of things that no piece has: a line for the drawing, and not one for each.
  std::string beside;
  for (const char* const layer : {"NOTES", "FRAME", "OTHER"})
    beside += test::polyline({{900, 0}, {950, 0}, {950, 30}}, layer);
  test::put_low_shoe(folder, {}, beside);
  const std::vector<std::vector<std::string>> all = commands(folder);
  put(folder / "works.json",
      R"({"lastwright_works": 1, "styles": {"Low shoe": "s.json"}, "labels": {"parts": {"upper": ["vamp"]}}, "supplies": {"laces": {"per_pair": 1}}})");
  put(folder / "order.csv", "size,width,pairs,period\n8,F,2,9\n8,F,2,9\n99,F,1,9\n");
  std::string left_out;
  std::string doubts;
  for (const std::vector<std::string>& command : all) {
    const std::string& name = command.front();
    if (name != "needs" && name != "tickets" && name != "dates") continue;
    INFO(name);
    std::vector<std::string> words = command;
    words.insert(words.end(), {"--out", folder / name, "--threads", "1"});
    CHECK(run(words) == 1);
    const std::map<std::string, std::string> files = contents(folder / name);
    REQUIRE(files.count("rows left out.csv") + files.count("doubts.csv") == 2);
    if (left_out.empty()) {
      left_out = files.at("rows left out.csv");
      doubts = files.at("doubts.csv");
    }
    CHECK(files.at("rows left out.csv") == left_out);
    CHECK(files.at("doubts.csv") == doubts);
    const std::string& json = files.at(name + ".json");
    for (const char* const said : {"\"rows_left_out\": [\n  {\n   \"line\": 4", "counted twice"})
      CHECK(holds_words(json, said));
    if (const auto page = files.find(name + ".html"); page != files.end()) {
      CHECK(holds_words(page->second, "Rows of the order were not understood"));
      CHECK(holds_words(page->second, "counted twice"));
    }
  }
  CHECK(holds_words(doubts, "counted twice"));
  const auto left_out_from = doubts.find("left out: 3 entities: 1 LWPOLYLINE on the layer NOTES, 1 ");
  CHECK(left_out_from != std::string::npos);
  CHECK(doubts.find("left out", left_out_from + 1) == std::string::npos);
  // Pieces that state no material are named in each, and leave no blank.
  for (const char* const name : {"needs/needs.json", "tickets/tickets.json", "dates/dates.json"})
    CHECK(holds_words(bytes_of(folder / name), "no material is stated for vamp, quarter, insole"));
  CHECK(holds_words(bytes_of(folder / "needs/needs.json"),
                    "\"no material is stated for insole, quarter, vamp\""));
  CHECK(holds_words(bytes_of(folder / "tickets/labels.json"), "upper: no material is stated for vamp"));
  CHECK(holds_words(bytes_of(folder / "tickets/tickets.csv"), ",(none stated),vamp,"));
  // A quantity never stands without a unit.
  CHECK(holds_words(bytes_of(folder / "dates/orders-to-place.csv"), ",laces,,4.00,not stated,"));
  CHECK(holds_words(bytes_of(folder / "dates/dates.json"), "\"unit\": \"not stated\""));
}

TEST_CASE("what is bought ready cut is in no file for the table, and on tickets without an area", "[cut]") {
  const ScratchFolder folder;
  const std::string style = test::put_low_shoe(
      folder, {{R"("name": "insole", "forme")", R"("name": "insole", "material": "board", "forme")"},
               {R"("run": {"from": "6")", R"("run": {"from": "5")"}});
  put(folder / "order.csv", "size,width,pairs\n8,F,2\n9,F,1\n5,F,1\n8,E,1\n");
  put(folder / "works.json",
      R"({"lastwright_works": 1, "styles": {"Low shoe": "s.json"}, "materials": {"board": {"bought_as": "pieces"}}, "labels": {"marking": {"table": "iso-19407-adult", "column": "English"}}})");
  const std::vector<std::string> cut{
      "cut", style, "--roll", "900", "--pairs", "2", "--works", folder / "works.json", "--threads", "1"};
  const auto with = [&](std::vector<std::string> words, const std::vector<std::string>& more) {
    words.insert(words.end(), more.begin(), more.end());
    return run(words);
  };
  REQUIRE(with(cut, {"--out", folder / "cut"}) == 0);
  const std::map<std::string, std::string> files = contents(folder / "cut");
  const std::string& json = files.at("cut.json");
  const std::string ready = json.substr(json.find("\"ready_cut\": ["));
  CHECK(holds_words(json, "\"ready_cut\": 4"));
  CHECK(holds_words(ready, "\"piece\": \"insole\""));
  CHECK(json.find("insole") >= json.size() - ready.size());
  CHECK(files.size() == 3);  // the roll of what is cut, the list and the manifest
  CHECK(with(cut, {"--out", folder / "none", "--pieces", "insole"}) == 3);
  put(folder / "hide.dxf",
      test::drawing(test::polyline({{0, 0}, {2000, 0}, {2000, 1000}, {0, 1000}}, "hide")));
  CHECK(run({"hide", style, "--hide", folder / "hide.dxf", "--material", "board", "--works",
             folder / "works.json", "--out", folder / "none", "--pairs", "1", "--threads", "1"}) == 3);
  REQUIRE(run({"tickets", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "tickets",
               "--threads", "1"}) == 0);
  CHECK(holds_words(bytes_of(folder / "tickets/tickets.csv"), ",ready cut,,\r\n"));
  CHECK(holds_words(bytes_of(folder / "tickets/tickets.json"), "\"ready_cut\": true"));
  CHECK(holds_words(bytes_of(folder / "tickets/component count.csv"), "insole,8,F,,4,"));
  // Sizes that the marking table does not have are told once for all labels of the style.
  const std::string labels = bytes_of(folder / "tickets/labels.json");
  CHECK(holds_words(labels,
                    "the marking table iso-19407-adult has no English sizes 5, 8: the line of other systems' "
                    "sizes is missing on the labels of these sizes\""));
  CHECK(labels.find("has no English") == labels.rfind("has no English"));
}

TEST_CASE("each style that fails is told once, with the kinds of its checks", "[failed]") {
  FailedStyles failed;
  StyleFinding sound{"seam", "a", 0.0, 0.1, "mm", {}, true, ""};
  StyleFinding bad = sound;
  bad.passed = false;
  add_failed(failed, "Sound", {sound, sound});
  CHECK(failed.empty());
  CHECK(failed_line(failed).empty());
  CHECK(failed_box(failed).empty());
  CHECK(tell_failed(ExitCode::kOk, failed, "cut nothing") == ExitCode::kOk);
  std::vector<StyleFinding> many(6, bad);
  for (std::size_t i = 1; i < many.size(); ++i) many[i].check = std::string(1, static_cast<char>('a' + i));
  add_failed(failed, "Trial", {sound, bad, bad});
  add_failed(failed, "Other", many);
  CHECK(failed_line(failed) == "CHECKS FAILED: Trial: seam; Other: seam, b, c and 3 more");
  CHECK(failed_table(failed).rows.size() == 8);
  CHECK(tell_failed(ExitCode::kOk, failed, "cut nothing") == ExitCode::kCheckFailed);
  CHECK(tell_failed(ExitCode::kFileSystem, failed, "cut nothing") == ExitCode::kFileSystem);
}
