#include "grading/live/proposals.hpp"

#include <catch2/catch.hpp>
#include <map>
#include <random>
#include <string>

#include "grading/live/style_text.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/small_style.hpp"

namespace lastwright {

namespace {

Json small_root() {
  return parse_json(testing::kSmallStyle, {})->root;
}

// A proposal for everything that a list or a table of the small style holds, each said in its own words.
Json pencilled_style() {
  Json root = small_root();
  Json proposed = Json::array();
  const auto put = [&](const std::string& at) {
    proposed.push_back({{"sure", "likely"}, {"what", "stands at " + at}, {"at", at}});
  };
  for (std::size_t i = 0; i < root["pieces"].size(); ++i) {
    put(pointer_to("/pieces", i));
    for (std::size_t k = 0; k < root["pieces"][i]["edges"].size(); ++k)
      put(pointer_to(pointer_to("/pieces", i) + "/edges", k));
  }
  for (std::size_t i = 0; i < root["seams"].size(); ++i) put(pointer_to("/seams", i));
  for (std::size_t i = 0; i < root["formes"]["shell"]["rules"].size(); ++i)
    put(pointer_to("/formes/shell/rules", i));
  for (const auto& [name, place] : root["formes"]["shell"]["points"].items())
    put(pointer_to("/formes/shell/points", name));
  proposed.push_back({{"sure", "guess"}, {"what", "of the whole"}});
  root["proposed"] = std::move(proposed);
  return root;
}

// A piece is known by its name, whatever becomes of its edges.
std::string value_text(const Json& root, const std::string& pointer) {
  const Json::json_pointer at(pointer);
  if (!root.contains(at)) return "nothing";
  const bool piece = at.parent_pointer().to_string() == "/pieces";
  return (piece ? root.at(at).at("name") : root.at(at)).dump();
}

// What each proposal is of, by its words.
std::map<std::string, std::string> things(const Json& root) {
  std::map<std::string, std::string> out;
  if (!root.contains("proposed")) return out;
  for (const Json& one : root["proposed"])
    if (one.contains("at")) out[one["what"]] = value_text(root, one["at"]);
  return out;
}

Json changed_by(const Json& root, const std::vector<JsonEdit>& edits) {
  StyleText style(root.dump(2));
  const Status changed = style.change("a change", edits);
  INFO((changed ? std::string() : changed.problem().message));
  REQUIRE(changed.ok());
  return parse_json(style.text(), {})->root;
}

}  // namespace

TEST_CASE("a proposal follows what it is of through every change of lists and names", "[live]") {
  std::mt19937 draw(5);
  const auto under = [&](std::size_t count) { return static_cast<std::size_t>(draw() % count); };
  for (int turn = 0; turn < 60; ++turn) {
    Json root = pencilled_style();
    const std::size_t all = root["proposed"].size();
    std::size_t gone = 0;
    for (int step = 0; step < 5; ++step) {
      const std::map<std::string, std::string> before = things(root);
      const std::string list =
          std::vector<std::string>{"/seams", "/formes/shell/rules", "/pieces/0/edges"}[under(3)];
      const Json::json_pointer at(list);
      if (!root.contains(at) || root.at(at).size() < 2) continue;
      const std::size_t item = under(root.at(at).size());
      std::vector<JsonEdit> edits;
      const auto kind = under(3);
      if (kind == 0) {
        edits.push_back({JsonEdit::Kind::kRemove, pointer_to(list, item), {}});
      } else if (kind == 1) {
        edits.push_back({JsonEdit::Kind::kInsert, pointer_to(list, item), {{"made", step}}});
      } else {
        edits.push_back(
            {JsonEdit::Kind::kRename,
             pointer_to("/formes/shell/points", std::string(root["formes"]["shell"]["points"].begin().key())),
             "point~/" + std::to_string(step)});
      }
      const Json next = changed_by(root, with_proposals(root, edits, true));
      const std::map<std::string, std::string> after = things(next);
      for (const auto& [what, thing] : after) {
        INFO(what);
        CHECK(thing == before.at(what));
      }
      gone += before.size() - after.size();
      root = next;
    }
    CHECK(root["proposed"].size() + gone == all);
  }
}

TEST_CASE("what is stated anew is no proposal any more, and what is only called otherwise still is",
          "[live]") {
  const Json root = pencilled_style();
  const std::vector<JsonEdit> edits = {{JsonEdit::Kind::kSet, "/pieces/0/edges/1/allowance", 7}};
  const std::size_t all = things(root).size();
  const Json decided = changed_by(root, with_proposals(root, edits, true));
  CHECK(things(decided).size() == all - 1);
  CHECK(things(decided).count("stands at /pieces/0/edges/1") == 0);
  CHECK(things(decided).count("stands at /pieces/0") == 1);  // of the whole piece
  CHECK(things(changed_by(root, with_proposals(root, edits, false))).size() == all);
}

TEST_CASE("proposals are accepted, and refused with what they put in", "[live]") {
  const Json root = pencilled_style();
  const auto index_of = [&](const std::string& at) {
    for (std::size_t i = 0; i < root["proposed"].size(); ++i)
      if (root["proposed"][i].value("at", "") == at) return i;
    FAIL("no proposal at " << at);
    return std::size_t{0};
  };
  const Result<std::vector<JsonEdit>> accepted = settled_proposals(
      root, {{"what", "accept"}, {"proposals", {index_of("/seams/0"), std::size_t{0}, std::size_t{0}}}});
  REQUIRE(accepted.ok());
  const Json inked = changed_by(root, *accepted);
  CHECK(inked["proposed"].size() == root["proposed"].size() - 2);
  CHECK(inked["seams"] == root["seams"]);

  // The ball line goes with its part in the girth, and whatever stood behind it is still said of itself.
  const Result<std::vector<JsonEdit>> refused = settled_proposals(
      root, {{"what", "refuse"}, {"proposals", {index_of("/formes/shell/rules/1"), index_of("/seams/0")}}});
  REQUIRE(refused.ok());
  const Json rubbed = changed_by(root, *refused);
  CHECK(rubbed["formes"]["shell"]["rules"].size() == root["formes"]["shell"]["rules"].size() - 1);
  CHECK(rubbed["seams"].size() == root["seams"].size() - 1);
  CHECK(root["girths"].dump().find("ball line") != std::string::npos);
  CHECK(rubbed["girths"].dump().find("ball line") == std::string::npos);
  for (const auto& [what, thing] : things(rubbed)) CHECK(thing == things(root).at(what));

  Json everything = Json::array();
  for (std::size_t i = 0; i < root["proposed"].size(); ++i) everything.push_back(i);
  const Result<std::vector<JsonEdit>> all =
      settled_proposals(root, {{"what", "accept"}, {"proposals", everything}});
  REQUIRE(all.ok());
  Json stated = root;
  stated.erase("proposed");
  CHECK(changed_by(root, *all) == stated);

  for (const Json& asked : {Json{{"what", "accept"}}, Json{{"what", "accept"}, {"proposals", 5}},
                            Json{{"what", "accept"}, {"proposals", {9999}}},
                            Json{{"what", "refuse"}, {"proposals", {index_of("/formes/shell/points/heel")}}}})
    CHECK_FALSE(settled_proposals(root, asked).ok());
}

TEST_CASE("a text that is replaced is one step, and no character is cut in two", "[live]") {
  for (const auto& [was, now] : std::vector<std::pair<std::string, std::string>>{
           {"{\"a\": \"\xc3\xa4\"}", "{\"a\": \"\xc3\xb6\"}"},
           {"{\"a\": \"\xc3\xa4\xe2\x82\xac\"}", "{\"a\": \"\xe2\x82\xac\"}"},
           {"{\"a\": \"\xe2\x82\xac\"}", "{\"a\": \"\xc2\xac\"}"},
           {"aaa", "aaaa"},
           {"aaaa", "a"},
           {"", "x"}}) {
    StyleText style(was);
    style.replace("replaced", now);
    CHECK(style.text() == now);
    REQUIRE(style.done().size() == 1);
    for (const std::string& part : {style.done()[0].splices[0].removed, style.done()[0].splices[0].put})
      CHECK_NOTHROW(Json(part).dump());
    style.go_to(0);
    CHECK(style.text() == was);
    style.go_to(1);
    style.replace("nothing", now);
    CHECK(style.done().size() == 1);
  }
}

}  // namespace lastwright
