// What a draft calls its pieces and where that is doubtful, and how many of each there are.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <vector>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "grading/pieces/first/first_names.hpp"
#include "grading/pieces/first/first_style.hpp"
#include "grading/redraw/piece_twins.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/dxf_maker.hpp"
#include "tests/support/invented_court.hpp"

using namespace lastwright;

namespace {

std::string sole(double rim, const std::string& layer) {
  const std::vector<Vec2> points{{-rim, 0},      {70, -26 - rim}, {190, -45 - rim},
                                 {272 + rim, 5}, {200, 48 + rim}, {60, 32 + rim}};
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, points.size());
  for (const Vec2 p : points) text += fmt::format("|10 {}|20 {}", p.x, p.y);
  return test::tags(text);
}

// What is said of the piece's name.
std::string said_of_name(const std::string& inner_layer, Vec2 text) {
  const std::string drawn = sole(0.0, inner_layer) + sole(4.0, "1") +
                            test::tags(fmt::format("0 TEXT|8 15|10 {}|20 {}|40 5|1 INSOLE", text.x, text.y));
  const Result<Drawing> drawing = read_dxf(test::drawing(drawn), {});
  REQUIRE(drawing);
  const Result<FirstStyle> style = first_style(*drawing, {});
  REQUIRE(style);
  REQUIRE(style->style.pieces.size() == 1);
  const auto found = std::find_if(
      style->read_guesses.begin(), style->read_guesses.end(),
      [](const std::string& one) { return one.find("is named after a text") != std::string::npos; });
  REQUIRE(found != style->read_guesses.end());
  return *found;
}

}  // namespace

TEST_CASE("a text that lies in an outline which is left out may be the name of that", "[draft]") {
  // The insole's layer has no role, and its name goes to the outsole round it.
  CHECK(said_of_name("INSOLE", {100, 0}).find("left out too, layer INSOLE") != std::string::npos);
  CHECK(said_of_name("INSOLE", {100, 0}).find("it may be the name of that") != std::string::npos);
  CHECK(said_of_name("INSOLE", {271.5, 6}).find("left out") == std::string::npos);  // beside it
  CHECK(said_of_name("8", {100, 0}).find("left out") == std::string::npos);  // an inner line of the piece
}

TEST_CASE("a text that is the name of another piece does not name the piece it stands in", "[draft]") {
  struct Drawn {
    std::string block;
    std::string layer;
    std::string text;
  };
  const auto names = [](const std::vector<Drawn>& pieces) {
    std::string blocks;
    std::string inserts;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const double x = 400.0 * static_cast<double>(i);
      const auto& [name, layer, text] = pieces[i];
      blocks += test::block(
          name,
          test::tags(fmt::format("0 LWPOLYLINE|8 {0}|90 4|70 1|10 {1}|20 0|10 {2}|20 0|10 {2}|20 90|10 {1}|"
                                 "20 90|0 TEXT|8 15|10 {3}|20 40|40 5|1 {4}",
                                 layer, x, x + 200.0, x + 50.0, text)));
      inserts += test::tags("0 INSERT|8 0|2 " + name + "|10 0|20 0");
    }
    const Result<Drawing> drawing =
        read_dxf(test::section("HEADER", test::tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
                     test::section("BLOCKS", blocks) + test::section("ENTITIES", inserts) + "0\nEOF\n",
                 {});
    REQUIRE(drawing);
    const Result<FirstStyle> style = first_style(*drawing, {});
    REQUIRE(style);
    std::vector<std::string> all;
    for (const PieceSpec& piece : style->style.pieces) all.push_back(piece.name);
    return all;
  };
  using Names = std::vector<std::string>;
  for (const char* layer : {"1", "VAMP"}) {
    INFO(layer);
    const std::string other = layer == std::string("1") ? "1" : "QUARTER";
    CHECK(names({{"VAMP", layer, "QUARTER"}, {"QUARTER", other, "QUARTER"}}) == Names{"vamp", "quarter"});
    CHECK(names({{"QUARTER", other, "QUARTER"}, {"VAMP", layer, "QUARTER"}}) == Names{"quarter", "vamp"});
    // Blocks whose texts are exchanged with them, and a text that names no other piece.
    CHECK(names({{"VAMP", layer, "QUARTER"}, {"QUARTER", other, "VAMP"}}) == Names{"quarter", "vamp"});
    CHECK(names({{"VAMP", layer, "QUARTER"}, {"TONGUE", other, "TONGUE"}}) == Names{"quarter", "tongue"});
  }
  CHECK(names({{"A1", "1", "QUARTER"}, {"QUARTER", "1", "QUARTER"}}) == Names{"quarter", "quarter-2"});
  // Its layer agrees with the text, and not with the block.
  CHECK(names({{"VAMP", "QUARTER", "QUARTER"}, {"QUARTER", "QUARTER", "QUARTER"}}) ==
        Names{"quarter", "quarter-2"});
}

TEST_CASE("a draft counts what is sewn to both halves of a piece four times for a pair", "[draft]") {
  const auto per_pair = [](const std::vector<std::string>& without) {
    std::vector<test::DrawnPiece> upper = test::court_upper();
    std::erase_if(upper, [&](const test::DrawnPiece& one) {
      return std::find(without.begin(), without.end(), one.name) != without.end();
    });
    Result<Drawing> drawing = read_dxf(test::court_drawing(upper, {}), {});
    REQUIRE(drawing);
    DraftOptions options;
    options.basis.scale = "paris-point";
    options.basis.size = "36";
    options.kind = *shoe_kind({"court"});
    Result<Draft> draft = draft_style({{*std::move(drawing), "upper", "upper.dxf"}}, options, {});
    REQUIRE(draft);
    std::map<std::string, int> counts;
    for (const PieceSpec& piece : draft->style.pieces) counts[piece.name] = piece.per_pair;
    return counts;
  };
  const std::map<std::string, int> both = per_pair({});
  CHECK(both.at("quarter outside") == 2);
  CHECK(both.at("quarter inside") == 2);
  CHECK(both.at("quarter lining") == 4);
  CHECK(both.at("vamp") == 2);
  // One quarter alone is sewn to both halves of the vamp.
  CHECK(per_pair({"QUARTER_INSIDE"}).at("quarter outside") == 4);
}

TEST_CASE("a draft takes lines at an edge of their layer for what was said of them", "[draft]") {
  // A panel with a line from its lower edge inward and one outward, and a slanted one, all on its layer.
  const std::string drawn = test::tags(
      "0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 200|20 0|10 200|20 90|10 0|20 80"
      "|0 LINE|8 1|10 60|20 0|11 60|21 4|0 LINE|8 1|10 120|20 0|11 120|21 -3"
      "|0 LINE|8 1|10 150|20 0|11 153|21 3");
  const auto draft_with = [&](const char* said) {
    DraftOptions options;
    options.basis.scale = "paris-point";
    options.basis.size = "36";
    options.kind = *shoe_kind({});
    options.first.name = "panel";
    options.first.edge_lines = said;
    Result<Drawing> drawing = read_dxf(test::drawing(drawn), {});
    REQUIRE(drawing);
    Result<Draft> draft = draft_style({{*std::move(drawing), "panel", "panel.dxf"}}, options, {});
    REQUIRE(draft);
    REQUIRE(draft->style.pieces.size() == 1);
    return *draft;
  };
  const auto slanted = [](const Draft& draft) {
    return std::count_if(draft.warnings.begin(), draft.warnings.end(), [](const std::string& one) {
      return one.find("at (150.0, 0.0)") != std::string::npos;
    });
  };
  const Draft nicked = draft_with("nicks");
  CHECK(nicked.lost.empty());
  CHECK(slanted(nicked) == 1);
  REQUIRE(nicked.style.pieces[0].drawn_marks);
  CHECK(nicked.style.pieces[0].drawn_marks->nicks == 2);
  const StyleRead again = read_style(write_style(nicked.style), "panel.json");
  for (const Problem& problem : again.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(again.ok());
  CHECK(again.style->drawings[0].edge_lines == "nicks");
  const Draft ignored = draft_with("ignore");
  CHECK(ignored.lost.empty());
  CHECK(slanted(ignored) == 1);
  REQUIRE(ignored.style.pieces[0].drawn_marks);
  CHECK(ignored.style.pieces[0].drawn_marks->nicks == 0);
  CHECK(draft_with("").lost.size() == 1);  // what lies outside the panel may be one of its own
}

TEST_CASE("names that a program made up are known from those that somebody gave", "[draft][names]") {
  for (const char* made : {"A1", "*U12", "BLOCK_3", "Block", "12", "x", "A$C45F20BD", "PART-07", "NEW_BLOCK"})
    CHECK(made_by_program(made));
  for (const char* given : {"VAMP", "Kappe", "VMP-01", "BLOCK VAMP", "tige"})
    CHECK_FALSE(made_by_program(given));
  CHECK(says_no_more("QUARTER", "quarter outside"));
  CHECK(says_no_more("Quarter-Outside 37", "quarter outside"));
  CHECK_FALSE(says_no_more("vamp lining", "VAMP"));
  CHECK(says_no_more("STRAP", "BACKSTRAP"));
  CHECK(says_no_more("TOE CAP", "toecap"));
  CHECK_FALSE(says_no_more("BACKSTRAP", "STRAP"));
  CHECK_FALSE(says_no_more("a", "VAMP"));  // one letter is the beginning of anything
  CHECK(without_foot("insole left") == "insole");
  CHECK(without_foot("right upright vamp") == "upright vamp");
}

namespace {

// Two panels of unlike forms, each in a block of its own with these texts in it.
struct BlockWithTexts {
  std::string block;
  std::vector<std::string> texts;
};
Drawing two_blocks(const BlockWithTexts& one, const BlockWithTexts& other) {
  std::string entities;
  std::string blocks;
  double y = 0.0;
  for (const BlockWithTexts* each : {&one, &other}) {
    std::string content = fmt::format(
        "0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 200|20 0|10 200|20 {}|10 0|20 80", y == 0.0 ? 90 : 50);
    for (std::size_t i = 0; i < each->texts.size(); ++i)
      content += fmt::format("|0 TEXT|8 15|10 20|20 {}|40 5|1 {}", 10 + 12 * i, each->texts[i]);
    blocks += test::block(each->block, test::tags(content));
    entities += test::tags(fmt::format("0 INSERT|8 0|2 {}|10 0|20 {}", each->block, y));
    y += 200.0;
  }
  Result<Drawing> drawing = read_dxf(test::drawing(entities, blocks), {});
  REQUIRE(drawing);
  return *std::move(drawing);
}
FirstStyle named_by(const BlockWithTexts& one, const BlockWithTexts& other = {"TONGUE", {}}) {
  Result<FirstStyle> style = first_style(two_blocks(one, other), {});
  REQUIRE(style);
  REQUIRE(style->style.pieces.size() == 2);
  return *std::move(style);
}
bool guesses(const FirstStyle& style, const std::string& text) {
  return std::find(style.read_guesses.begin(), style.read_guesses.end(), text) != style.read_guesses.end();
}

}  // namespace

TEST_CASE("a text inside names a piece, and its block does where it says more or the text may be no name",
          "[draft][names]") {
  const auto name = [](const BlockWithTexts& one) { return named_by(one).style.pieces[0].name; };
  // A block without texts, or with such as say how to cut, names its piece, whoever named it.
  CHECK(name({"QUARTER_OUTSIDE", {}}) == "quarter outside");
  CHECK(name({"A1", {"CUT 2 PAIRS", "37"}}) == "a1");
  // A word of the trade goes before it, and both are told.
  const FirstStyle text = named_by({"A1", {"37", "VAMP"}});
  CHECK(text.style.pieces[0].name == "vamp");
  CHECK(text.style.pieces[0].source.block == "A1");
  CHECK(guesses(text, "the piece vamp is named after a text inside it, and its block is A1"));
  CHECK(guesses(named_by({"VAMP", {"VAMP LINING"}}),
                "the piece vamp lining is named after a text inside it, and its block is VAMP"));
  // The same in other words, or less: nothing to tell.
  for (const char* same : {"QUARTER", "quarter-outside", "QUARTER OUTSIDE 37"}) {
    const FirstStyle agreed = named_by({"QUARTER_OUTSIDE", {same}});
    CHECK(agreed.style.pieces[0].name == "quarter outside");
    CHECK(std::none_of(agreed.read_guesses.begin(), agreed.read_guesses.end(),
                       [](const std::string& one) { return one.find("named after") != std::string::npos; }));
  }
  CHECK(name({"BACKSTRAP", {"STRAP"}}) == "backstrap");
  // Which foot is drawn is no part of a name: a left insole's dies are one for each foot.
  const FirstStyle foot = named_by({"INSOLE", {"INSOLE LEFT"}});
  CHECK(foot.style.pieces[0].name == "insole");
  CHECK(guesses(foot, "the piece insole is named after its block, and a text inside it is insole left"));
  // Several words of the trade are no name.
  const FirstStyle several = named_by({"VAMP", {"VAMP", "SEW TO QUARTER"}});
  CHECK(several.style.pieces[0].name == "vamp");
  CHECK(guesses(several,
                "the piece vamp is named after its block, for there are several names inside it: "
                "vamp, sew to quarter"));
  // No word of the trade: it names a piece whose block says nothing, and is told beside one that does.
  CHECK(name({"*U7", {"KAPPE"}}) == "kappe");
  const FirstStyle beside = named_by({"KAPPE", {"ROT 12"}});
  CHECK(beside.style.pieces[0].name == "kappe");
  CHECK(guesses(beside, "the piece kappe is named after its block, and a text inside it is rot 12"));
  // What is written in several pieces is the style's name.
  const FirstStyle style = named_by({"A1", {"MARLOW"}}, {"A2", {"MARLOW"}});
  CHECK(style.style.pieces[0].name == "a1");
  CHECK(style.style.pieces[1].name == "a2");
}

TEST_CASE("a redrawn piece that a text named is found again, also where its block has another number",
          "[draft][names][redraw]") {
  const FirstStyle first = named_by({"A1", {"VAMP"}}, {"A2", {"TONGUE"}});
  REQUIRE(first.style.pieces[1].name == "tongue");
  StyleSpec style = first.style;
  const std::string key = first.drawing.spec.key;
  for (const auto& [vamp, tongue] : {std::pair{"A1", "A2"}, {"B7", "B8"}}) {
    const TwinnedDrawing twins = twin_pieces(
        style, key, first.drawing,
        pattern_drawing(two_blocks({vamp, {"VAMP"}}, {tongue, {"TONGUE"}}), first.drawing.spec), 12.0);
    CHECK(twins.problems.empty());
    REQUIRE(twins.pieces.size() == 2);
    const char* const blocks[] = {vamp, tongue};
    for (const PieceTwin& twin : twins.pieces) {
      const std::string block = blocks[twin.index];
      CHECK(twins.drawing.contours[twin.contour].contour.from.block == block);
      CHECK(twin.renamed.has_value() == (block.front() == 'B'));
      if (twin.renamed) CHECK(twin.renamed->block == block);
    }
  }
}
