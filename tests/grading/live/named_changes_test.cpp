#include "grading/live/named_changes.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "grading/live/style_text.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/small_style.hpp"

namespace lastwright {

namespace {

// The style after a named change, which must have been taken and leave a sound style.
Json after_named(const Json& asked, const std::string& text = testing::kSmallStyle) {
  const Result<std::vector<JsonEdit>> edits = named_change(parse_json(text, {})->root, asked);
  INFO((edits ? std::string() : edits.problem().message));
  REQUIRE(edits.ok());
  StyleText style(text);
  REQUIRE(style.change("a change", *edits).ok());
  const StyleRead read = read_style(style.text(), "changed.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  CHECK(read.ok());
  style.go_to(0);
  CHECK(style.text() == text);
  return read.document->root;
}

std::string refused_named(const Json& asked) {
  const Result<std::vector<JsonEdit>> edits = named_change(parse_json(testing::kSmallStyle, {})->root, asked);
  REQUIRE_FALSE(edits.ok());
  return edits.problem().message;
}

bool holds_name(const Json& root, const std::string& name) {
  return root.dump().find("\"" + name + "\"") != std::string::npos;
}

}  // namespace

TEST_CASE("a new name is taken everywhere that the old one stood", "[live]") {
  const Json root = parse_json(testing::kSmallStyle, {})->root;
  REQUIRE(holds_name(root, "throat"));
  const Json point = after_named(
      {{"what", "rename point"}, {"forme", "shell"}, {"point", "ball feather"}, {"name", "joint"}});
  CHECK_FALSE(holds_name(point, "ball feather"));
  CHECK(point["formes"]["shell"]["rules"][1]["to"] == "joint");
  CHECK(point["formes"]["shell"]["rules"][5]["straight"][2] == "joint");
  CHECK(point["pieces"][0]["corners"]["wing"] == "joint");

  const Json line = after_named(
      {{"what", "rename line"}, {"forme", "shell"}, {"line", "ball line"}, {"name", "joint line"}});
  CHECK_FALSE(holds_name(line, "ball line"));
  CHECK(line["girths"]["ball girth"][0]["line"] == "joint line");
  CHECK(line["formes"]["shell"]["girth_line"] == "joint line");

  const Json piece = after_named({{"what", "rename piece"}, {"piece", "vamp"}, {"name", "front"}});
  CHECK_FALSE(holds_name(piece, "vamp"));

  const Json edge =
      after_named({{"what", "rename edge"}, {"piece", "vamp"}, {"edge", "wing"}, {"name", "side seam"}});
  CHECK(edge["pieces"][0]["edges"][1]["name"] == "side seam");
  CHECK(edge["seams"].dump().find("side seam") != std::string::npos);
  CHECK(edge["pieces"][0]["edges"][1]["to"] == "wing");  // a corner of that name keeps it

  const Json fold =
      after_named({{"what", "rename edge"}, {"piece", "vamp"}, {"edge", "fold"}, {"name", "middle"}});
  CHECK(fold["pieces"][0]["fold"] == "middle");

  const Json corner =
      after_named({{"what", "rename corner"}, {"piece", "vamp"}, {"corner", "wing"}, {"name", "tip"}});
  CHECK(corner["pieces"][0]["corners"].contains("tip"));
  CHECK(corner["pieces"][0]["edges"][1]["to"] == "tip");
  CHECK(corner["pieces"][0]["edges"][2]["from"] == "tip");
  CHECK(corner["pieces"][0]["edges"][1]["name"] == "wing");
}

TEST_CASE("a corner that is put on splits its edge, and taken off joins it", "[live]") {
  const Json on = after_named({{"what", "corner on"},
                               {"piece", "vamp"},
                               {"edge", "feather"},
                               {"corner", "side"},
                               {"name", "feather, front"},
                               {"at", {220, 1.5}}});
  const Json& edges = on["pieces"][0]["edges"];
  REQUIRE(edges.size() == 4);
  CHECK(edges[2]["to"] == "side");
  CHECK(edges[3]["from"] == "side");
  CHECK(edges[3]["to"] == "front");
  CHECK(edges[3]["allowance"] == edges[2]["allowance"]);
  const Json off = after_named({{"what", "corner off"}, {"piece", "vamp"}, {"corner", "side"}}, on.dump(1));
  CHECK(off == parse_json(testing::kSmallStyle, {})->root);
}

// Points that are stated by what they are name pieces, edges, corners and points too.
TEST_CASE("references to points follow a new name, and hold what they name", "[live]") {
  Json style = parse_json(testing::kSmallStyle, {})->root;
  Json& points = style["formes"]["shell"]["points"];
  points["one"] = {{"corner", "wing"}, {"of", "vamp"}};
  points["two"] = {{"along", {"front", "wing"}}, {"of", "vamp"}, {"share", "1/2"}};
  points["three"] = {{"crossing", {{{"edge", "wing"}, {"of", "vamp"}}, {{"through", {"heel", {0, 1}}}}}},
                     {"near", "toe"}};
  points["four"] = {
      {"from", {{"edges", {"wing", "feather"}}, {"of", "vamp"}}}, {"toward", "heel"}, {"distance", 3}};
  style["pieces"][1]["features"] = Json::array();
  style["pieces"][1]["features"].push_back(
      {{"prick", "a"}, {"at", {{"along", "wing"}, {"of", "vamp"}, {"share", 0}}}});
  style["pieces"][1]["features"].push_back({{"prick", "b"}, {"at", {{"along", "round"}, {"share", 0}}}});
  const std::string text = style.dump(1);
  const auto stated = [](const Json& root, const char* point) {
    return root["formes"]["shell"]["points"][point].dump();
  };

  const Json piece = after_named({{"what", "rename piece"}, {"piece", "vamp"}, {"name", "upper"}}, text);
  CHECK_FALSE(holds_name(piece, "vamp"));
  const Json corner =
      after_named({{"what", "rename corner"}, {"piece", "vamp"}, {"corner", "wing"}, {"name", "tip"}}, text);
  CHECK(stated(corner, "one") == R"({"corner":"tip","of":"vamp"})");
  CHECK(stated(corner, "two") == R"({"along":["front","tip"],"of":"vamp","share":"1/2"})");
  CHECK(stated(corner, "four").find("wing") != std::string::npos);  // an edge of that name keeps it
  const Json edge =
      after_named({{"what", "rename edge"}, {"piece", "vamp"}, {"edge", "wing"}, {"name", "side"}}, text);
  CHECK(stated(edge, "one") == R"({"corner":"wing","of":"vamp"})");
  CHECK(stated(edge, "three").find(R"("edge":"side")") != std::string::npos);
  CHECK(stated(edge, "four").find(R"(["side","feather"])") != std::string::npos);
  CHECK(edge["pieces"][1]["features"][0]["at"]["along"] == "side");
  const Json round =
      after_named({{"what", "rename edge"}, {"piece", "quarter"}, {"edge", "round"}, {"name", "wing"}}, text);
  CHECK(round["pieces"][1]["features"][0]["at"]["along"] == "wing");  // the vamp's, as it was
  CHECK(round["pieces"][1]["features"][1]["at"]["along"] == "wing");
  CHECK(stated(round, "three") == stated(style, "three"));
  const Json point =
      after_named({{"what", "rename point"}, {"forme", "shell"}, {"point", "heel"}, {"name", "back"}}, text);
  CHECK(stated(point, "three").find(R"("through":["back",[0,1]])") != std::string::npos);
  CHECK(stated(point, "four").find(R"("toward":"back")") != std::string::npos);

  const auto refused = [&](const Json& asked) {
    const Result<std::vector<JsonEdit>> edits = named_change(style, asked);
    REQUIRE_FALSE(edits.ok());
    return edits.problem().message;
  };
  CHECK(refused({{"what", "remove piece"}, {"piece", "vamp"}})
            .find("/formes/shell/points/one is stated by it") == 0);
  CHECK(refused({{"what", "corner off"}, {"piece", "vamp"}, {"corner", "wing"}}).find("is stated by it") !=
        std::string::npos);
  CHECK(refused({{"what", "corner on"},
                 {"piece", "vamp"},
                 {"edge", "wing"},
                 {"corner", "c"},
                 {"name", "n"},
                 {"at", {1, 2}}})
            .find("is stated by the edge wing") != std::string::npos);
}

TEST_CASE("measures and formes are called otherwise everywhere, and go where nothing needs them", "[live]") {
  const Json measure =
      after_named({{"what", "rename measure"}, {"measure", "ball girth"}, {"name", "joint girth"}});
  CHECK_FALSE(holds_name(measure, "ball girth"));
  CHECK(measure["girths"].contains("joint girth"));
  CHECK(measure["formes"]["shell"]["rules"][1]["carries"]["joint girth"] == "1/2");
  CHECK(measure["formes"]["shell"]["rules"][2]["carries"].contains("joint girth"));

  // A forme that its name told to be the upper still is.
  const Json forme = after_named({{"what", "rename forme"}, {"forme", "shell"}, {"name", "top"}});
  CHECK(forme["formes"]["top"]["role"] == "upper");
  CHECK(forme["pieces"][0]["forme"] == "top");
  CHECK(forme["pieces"][1]["forme"] == "top");
  CHECK(forme["girths"]["ball girth"][0]["forme"] == "top");

  CHECK(refused_named({{"what", "remove measure"}, {"measure", "tread"}}) ==
        "the line ball line of forme shell carries it");
  CHECK(refused_named({{"what", "remove forme"}, {"forme", "shell"}}) == "piece \"vamp\" lies on it");
  CHECK(refused_named({{"what", "rename measure"}, {"measure", "tread"}, {"name", "ball girth"}}) ==
        "the name \"ball girth\" is taken");
  std::string more = testing::kSmallStyle;
  more.replace(more.find("\"tread\": {"), 0, "\"seat\": {\"base\": 60, \"per_size\": 1, \"per_width\": 0}, ");
  CHECK_FALSE(
      after_named({{"what", "remove measure"}, {"measure", "seat"}}, more)["measures"].contains("seat"));
}

TEST_CASE("a piece gets a forme of its own, with the points that it names", "[live]") {
  const Json asked = {{"what", "own forme"},
                      {"piece", "vamp"},
                      {"name", "front"},
                      {"from", "front"},
                      {"to", "throat"},
                      {"side", "wing"},
                      {"length", {{"stick length", "1/2"}}},
                      {"width", {{"tread", 1}}}};
  const Json root = after_named(asked);
  const Json& forme = root["formes"]["front"];
  CHECK(root["pieces"][0]["forme"] == "front");
  CHECK(root["pieces"][1]["forme"] == "shell");
  CHECK(forme["base_line"] == Json::array({"toe", "throat"}));
  CHECK(forme["fixed"] == "toe");
  CHECK(forme["points"]["toe"] == Json::array({290, 0}));
  CHECK(forme["points"]["throat"] == Json({{"corner", "throat"}, {"of", "vamp"}}));
  CHECK(forme["points"]["ball feather"] == Json::array({200, -20}));
  CHECK(forme["rules"][1]["carries"] == Json({{"tread", 1}}));
  Json two = asked;
  two["side"] = "front";
  CHECK(refused_named(two) == "its length and width need three corners");
  // Nothing is left on the new one when it goes: then it can.
  Json back = root;
  back["pieces"][0]["forme"] = "shell";
  CHECK_FALSE(
      after_named({{"what", "remove forme"}, {"forme", "front"}}, back.dump(2))["formes"].contains("front"));
}

TEST_CASE("a named change that cannot be says why", "[live]") {
  CHECK(refused_named({{"what", "burn"}}).find("no change called") != std::string::npos);
  CHECK(refused_named({{"what", "rename piece"}, {"piece", "sock"}, {"name", "x"}}).find("no piece") !=
        std::string::npos);
  CHECK(refused_named({{"what", "rename edge"}, {"piece", "vamp"}, {"edge", "wing"}, {"name", "feather"}})
            .find("taken") != std::string::npos);
  CHECK(refused_named({{"what", "rename point"}, {"forme", "shell"}, {"point", "toe"}, {"name", "heel"}})
            .find("taken") != std::string::npos);
  CHECK(refused_named({{"what", "corner off"}, {"piece", "vamp"}, {"corner", "nowhere"}}).find("no corner") !=
        std::string::npos);
}

}  // namespace lastwright
