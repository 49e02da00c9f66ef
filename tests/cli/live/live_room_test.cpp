// What the page is answered, without a browser and without a server.
#include "cli/live/live_room.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "cli/live/live_json.hpp"
#include "grading/json/json_text.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"
#include "tests/support/small_style.hpp"

namespace lastwright {

namespace {

// The demo's style and its drawings in a folder of their own.
struct DemoOnDesk {
  ScratchFolder folder;
  std::string style = folder / "style.json";
  std::string original;

  DemoOnDesk() {
    const std::filesystem::path demo = std::filesystem::path(test::demo_style()).parent_path();
    for (const char* name : {"style.json", "shell.dxf", "bottom.dxf", "hide.dxf", "last.json", "works.json"})
      std::filesystem::copy_file(demo / name, folder / name);
    original = bytes_of(style);
  }
};

Json answered(LiveRoom& room, const std::string& path, const Json& asked, unsigned status = 200) {
  const WebReply reply = room.answer_now(path, asked.dump());
  CAPTURE(path, reply.body);
  REQUIRE(reply.status == status);
  return parse_json(reply.body, "the answer")->root;
}

Json set(const std::string& at, const Json& to) {
  return {{"says", "a change"}, {"edits", {{{"do", "set"}, {"at", at}, {"to", to}}}}};
}

}  // namespace

TEST_CASE("steps are kept for a work only where it would not be refused", "[live]") {
  DemoOnDesk demo;
  LiveRoom room(*StyleDesk::open(demo.style), {}, 1);
  const std::string step = "/measures/ball girth/per_size";
  const Json work = {{"for", "grade"}};

  answered(room, "/change", set(step, "1/0 in"));
  const Json refused = answered(room, "/save", work, 422);
  CHECK(refused["problem"]["pointer"] == step);
  CHECK(refused["refused"].get<std::string>().find("nothing was kept in the file") != std::string::npos);
  CHECK(bytes_of(demo.style) == demo.original);
  CHECK(std::filesystem::exists(demo.style + ".draft"));
  // Nor where the style can be read and one piece cannot be made.
  answered(room, "/steps", {{"to", 0}});
  answered(room, "/change", set("/pieces/0/edges/0/allowance", 5000));
  answered(room, "/save", work, 422);
  CHECK(bytes_of(demo.style) == demo.original);
  // Nor for what cannot be started.
  answered(room, "/steps", {{"to", 0}});
  answered(room, "/change", set("/name", "Cindergarth low boot"));
  answered(room, "/save", {{"for", "nothing"}}, 422);
  CHECK(bytes_of(demo.style) == demo.original);
  // What is sound is kept.
  CHECK(answered(room, "/save", work)["changed"] == false);
  CHECK(bytes_of(demo.style).find("Cindergarth low boot") != std::string::npos);
  CHECK(answered(room, "/jobs", Json::object())["job"].is_null());
}

TEST_CASE("what is kept in a file loads as a style, or the keep is refused and the file is as it was",
          "[live][law]") {
  LoadStyleOptions files;
  files.drawings = false;
  const std::vector<std::pair<const char*, std::vector<Json>>> values = {
      {"/pieces/0/edges/0/allowance", {8, "3/16 in", "abc", -3, Json::array()}},
      {"/measures/ball girth/per_size", {"1/4 in", "5 mm", "1/0 in"}},
      {"/name", {"a name", "another", 5}},
      {"/ladder", {"english-letters", "no such ladder"}},
      {"/run/to", {"8", "9", "999"}},
      {"/tables", {Json::array(), Json::array({"not there.json"})}}};
  std::mt19937 draw(7);
  const auto below = [&](std::size_t end) { return static_cast<std::size_t>(draw() % end); };
  int kept = 0;
  int refused = 0;
  for (int round = 0; round < test::law_rounds(8); ++round) {
    const ScratchFolder folder;
    const std::string style = folder / "style.json";
    std::string text = testing::kSmallStyle;
    const auto put_in = [&](const std::string& was, const std::string& now) {
      text.replace(text.find(was), was.size(), now);
    };
    put_in(R"("from": "5", "to": "13")", R"("from": "7", "to": "8")");  // few sizes cost little
    put_in(R"(["own.json"])", "[]");
    put(style, text);
    LiveRoom room(*StyleDesk::open(style), files, 1);
    std::size_t done = 0;
    std::size_t steps = 0;
    for (int turn = 0; turn < 25; ++turn) {
      const std::size_t kind = below(10);
      const std::string before = bytes_of(style);
      if (kind < 5) {
        const auto& [at, some] = values[below(values.size())];
        const Json state = answered(room, "/change", set(at, some[below(some.size())]));
        done = state["done"].size();
        steps = done + state["undone"].size();
      } else if (kind < 7) {
        done = below(steps + 1);
        answered(room, "/steps", {{"to", done}});
      } else {
        const std::string now = answered(room, "/state", Json::object())["style"].dump();
        const bool aside = kind == 9 && below(4) == 0;
        const WebReply reply = room.answer_now(aside ? "/save-aside" : "/save", "{}");
        const Json told = parse_json(reply.body, "the answer")->root;
        CAPTURE(now, reply.body);
        if (reply.status == 200) {
          ++kept;
          const std::string file = aside ? folder / told["aside"].get<std::string>() : style;
          CHECK(parse_json(bytes_of(file), file)->root.dump() == now);
          CHECK(load_style(file, files).ok());
          if (aside) done = steps = 0;
        } else {
          ++refused;
          REQUIRE(reply.status == 422);
          CHECK(told["refused"].get<std::string>().find("nothing was kept in a file") != std::string::npos);
          CHECK(bytes_of(style) == before);
          const Json draft = parse_json(bytes_of(style + ".draft"), "the draft")->root;
          const std::string text_kept = draft["text"].get<std::string>();
          CHECK(parse_json(text_kept, "the draft")->root.dump() == now);
          CHECK_FALSE(load_style_text(style, text_kept, files).ok());
        }
      }
      if (kind < 7) CHECK(bytes_of(style) == before);
    }
  }
  CHECK((kept > 5 && refused > 5));  // the law was asked both ways
}

TEST_CASE("styles are offered as versions, and drawings that are no hides as new drawings", "[live]") {
  DemoOnDesk demo;
  std::filesystem::copy_file(demo.style, demo.folder / "before.json");
  put(demo.folder / "names it.json", R"({"note": "lastwright_style"})");
  put(demo.folder / "broken.json", R"({"lastwright_style": 1)");
  put(demo.folder / "list.json", R"(["lastwright_style"])");
  std::filesystem::copy_file(demo.folder / "shell.dxf", demo.folder / "hide of the shell.dxf");
  put(demo.folder / "broken hide.dxf", "hide");
  LiveRoom room(*StyleDesk::open(demo.style), {}, 1);
  const Json choices = answered(room, "/choices", Json::object());
  CHECK(choices["versions"] == Json{"before.json"});
  CHECK(choices["drawings"] == Json{"bottom.dxf", "broken hide.dxf", "hide of the shell.dxf", "shell.dxf"});
}

// A Problem's family is for programs: what is shown to people leaves it out.
TEST_CASE("the page is told what is wrong without the family of the problem", "[live]") {
  DemoOnDesk demo;
  LiveRoom room(*StyleDesk::open(demo.style), {}, 1);
  const Json change = {{"says", "a taken name"},
                       {"named", {{"what", "rename piece"}, {"piece", "vamp"}, {"name", "tongue"}}}};
  const Json refused = answered(room, "/change", change, 422);
  CHECK(refused["refused"] == R"(the name "tongue" is taken)");
  CHECK(refused["problem"]["says"] == R"(the name "tongue" is taken)");
  const Json unsound = answered(room, "/change", set("/measures/ball girth/per_size", "1/0 in"));
  REQUIRE(!unsound["problems"].empty());
  for (const Json& problem : unsound["problems"]) CHECK(problem["says"].get<std::string>().back() != ']');
}

TEST_CASE("the page is told where a finding stands in words and in parts", "[live]") {
  StyleFinding placed;
  placed.where = {{{Fraction(13), "13, wide"}, {Fraction(2), "H"}}, "vamp", {12.0, -3.5}, "near the rule"};
  const Json told = findings_json({placed, StyleFinding{}});
  CHECK(told[0]["where"] == "size 13, wide, width H, of vamp, at (12.0, -3.5), near the rule");
  CHECK((told[0]["size"] == "13, wide" && told[0]["width"] == "H" && told[0]["piece"] == "vamp"));
  for (const char* part : {"size", "width", "piece"}) CHECK_FALSE(told[1].contains(part));
  CHECK(told[1]["where"] == "");
}

}  // namespace lastwright
