// A piece that goes by a name is found by it, or the true cause is told with its place.
#include "grading/redraw/piece_twins.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/dxf_maker.hpp"

namespace lastwright {

namespace {

// A panel of four lines; `gap`: its last line ends so far short of the first.
std::string panel(Vec2 at, double gap = 0.0, const std::string& layer = "1") {
  const Vec2 corners[] = {at, at + Vec2{90, 0}, at + Vec2{80, 40}, at + Vec2{0, 30}};
  std::string text;
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec2 a = corners[i];
    const Vec2 b = i == 3 ? at + Vec2{0, gap} : corners[i + 1];
    text += test::tags(fmt::format("0 LINE|8 {}|10 {}|20 {}|11 {}|21 {}", layer, a.x, a.y, b.x, b.y));
  }
  return text;
}

std::string insert(const std::string& block, Vec2 at = {}) {
  return test::tags(fmt::format("0 INSERT|8 0|2 {}|10 {}|20 {}", block, at.x, at.y));
}

struct TwinSheet {
  std::string entities;
  std::string blocks;
};
TwinnedDrawing twins_of(const TwinSheet& old, const TwinSheet& fresh) {
  StyleSpec style;
  for (const char* name : {"VAMP", "LINING"}) {
    style.pieces.emplace_back();
    style.pieces.back().name = name;
    style.pieces.back().source.drawing = "d";
    style.pieces.back().source.block = name;
  }
  DrawingSpec spec;
  spec.key = "d";
  const auto read = [&](const TwinSheet& sheet) {
    Result<Drawing> drawing = read_dxf(test::drawing(sheet.entities, sheet.blocks), {});
    REQUIRE(drawing);
    return pattern_drawing(*std::move(drawing), spec);
  };
  return twin_pieces(style, "d", read(old), read(fresh), 12.0);
}
TwinnedDrawing twins(const TwinSheet& fresh) {
  return twins_of({insert("VAMP") + insert("LINING"),
                   test::block("VAMP", panel({0, 0})) + test::block("LINING", panel({0, 1}))},
                  fresh);
}

std::string lining() {
  return test::block("LINING", panel({0, 1}));
}

// A strap, round at its right end, with a corner of its other end cut off by `cut`; turned half round about
// its middle, or mirrored across.
std::string cut_strap(Vec2 at, double cut, bool turn, bool mirror, double longer = 0.0) {
  const auto laid = [&](Vec2 p) {
    if (turn) p = -p;
    if (mirror) p.y = -p.y;
    return at + p;
  };
  std::string text = fmt::format("0 LWPOLYLINE|8 1|90 {}|70 1", cut > 0.0 ? 5 : 4);
  const double end = 54.0 + longer;
  const std::pair<Vec2, double> vertices[] = {{{-65.0, -11.0}, 0.0},
                                              {{end, -11.0}, 1.0},
                                              {{end, 11.0}, 0.0},
                                              {{cut - 65.0, 11.0}, 0.0},
                                              {{-65.0, 11.0 - cut}, 0.0}};
  for (const auto& [p, bulge] : vertices) {
    if (cut == 0.0 && &p == &vertices[4].first) continue;
    text += fmt::format("|10 {}|20 {}|42 {}", laid(p).x, laid(p).y, mirror ? -bulge : bulge);
  }
  return test::tags(text);
}

}  // namespace

TEST_CASE("a strap that lies the other way round in its place is told in one line", "[redraw]") {
  const auto said = [](const std::string& strap,
                       const std::string& was = cut_strap({85, -109}, 3.0, false, false)) {
    const auto sheet = [](const std::string& vamp) {
      return TwinSheet{insert("VAMP") + insert("LINING"), test::block("VAMP", vamp) + lining()};
    };
    const TwinnedDrawing found = twins_of(sheet(was), sheet(strap));
    REQUIRE(found.problems.size() < 2);
    return found.problems.empty() ? std::string() : found.problems.front().message;
  };
  CHECK(said(cut_strap({85, -109}, 3.0, false, false)).empty());
  const std::string turned = said(cut_strap({85, -109}, 3.0, true, false));
  CHECK_THAT(turned, Catch::Contains("the other way round") &&
                         Catch::Contains("turned by 180 degrees about (85.000, -109.000)"));
  // A millimetre off: the shift is told by the middle that it turns about.
  CHECK_THAT(said(cut_strap({86, -109}, 3.0, true, false)), Catch::Contains("about (85.500, -109.000)"));
  CHECK_THAT(said(cut_strap({85, -109}, 3.0, false, true)), Catch::Contains("-109.000) along (1.0000, "));
  CHECK_THAT(said(cut_strap({85, -109}, 3.0, true, true)),
             Catch::Contains("mirrored in the line through (85.000, "));
  // Drawn otherwise as well, or only moved, it is a changed piece.
  CHECK(said(cut_strap({85, -109}, 3.0, true, false, 1.0)).empty());
  CHECK(said(cut_strap({87, -109}, 3.0, false, false)).empty());
  CHECK(said(cut_strap({85, -109}, 5.0, false, false)).empty());
  // The same on both sides, it is mirrored in itself, and only shifted.
  const auto even = [&](Vec2 at, bool turn) { return cut_strap(at, 0.0, turn, false); };
  CHECK(said(even({85, -109}, true), even({85, -109}, false)).find("turned by 180 degrees") !=
        std::string::npos);
  CHECK(said(even({86, -110}, false), even({85, -109}, false)).empty());
}

TEST_CASE("an open outline in a block is told as open, whatever lies beside it", "[redraw]") {
  // Its lining lies where it lay, a millimetre off: it is not taken for the vamp.
  const TwinnedDrawing narrow =
      twins({insert("VAMP") + insert("LINING"), test::block("VAMP", panel({0, 0}, 0.35)) + lining()});
  REQUIRE(narrow.problems.size() == 1);
  const std::string& said = narrow.problems.front().message;
  INFO(said);
  CHECK(narrow.problems.front().place.pointer == "/pieces/0/outline");
  CHECK(said.find("block VAMP is in the new drawing, and its outline does not close") == 0);
  CHECK(said.find("(0.000, 0.350)") != std::string::npos);
  CHECK(said.find("gap 0.35 mm") != std::string::npos);
  CHECK(said.find("\"chain_gap\": 0.36") != std::string::npos);
  const TwinnedDrawing wide =
      twins({insert("VAMP") + insert("LINING"), test::block("VAMP", panel({0, 0}, 25)) + lining()});
  REQUIRE(wide.problems.size() == 1);
  CHECK(wide.problems.front().message.find("a line is missing there") != std::string::npos);
}

TEST_CASE("a block that is put in twice is told with both places, or found where it lay", "[redraw]") {
  const std::string blocks = test::block("VAMP", panel({0, 0})) + lining();
  const TwinnedDrawing same = twins({insert("VAMP") + insert("VAMP") + insert("LINING"), blocks});
  REQUIRE(same.problems.size() == 1);
  INFO(same.problems.front().message);
  CHECK(same.problems.front().message.find(
            "block VAMP is in the new drawing twice, at (45.0, 20.0) and (45.0, 20.0)") == 0);
  const TwinnedDrawing away = twins({insert("VAMP") + insert("VAMP", {300, 0}) + insert("LINING"), blocks});
  CHECK(away.problems.empty());
  REQUIRE_FALSE(away.told.empty());
  CHECK(away.told.front().find("twice, at (45.0, 20.0) and (345.0, 20.0)") != std::string::npos);
  CHECK(away.pieces[0].renamed.has_value());
}

TEST_CASE("of outlines over each other each piece takes the one that has its name", "[redraw]") {
  // The blocks have become layers; a lining as near as that would else be as likely.
  const auto sheet = [](const char* vamp, const char* lined) {
    return twins({panel({0, 0}, 0.0, vamp) + panel({0, 1}, 0.0, lined), ""});
  };
  const TwinnedDrawing layers = sheet("Vamp", "LINING");
  CHECK(layers.problems.empty());
  REQUIRE(layers.pieces.size() == 2);
  for (const std::size_t i : {0, 1}) {
    REQUIRE(layers.pieces[i].renamed);
    CHECK(layers.pieces[i].renamed->layer.value_or("") == (i == 0 ? "Vamp" : "LINING"));
  }
  CHECK_FALSE(sheet("A", "B").problems.empty());
  CHECK_FALSE(sheet("VAMP", "vamp").problems.empty());
}

TEST_CASE("another name is followed, and a line where a piece lay is told", "[redraw]") {
  const TwinnedDrawing renamed =
      twins({insert("VAMP_2") + insert("LINING"), test::block("VAMP_2", panel({0, 0.1})) + lining()});
  CHECK(renamed.problems.empty());
  CHECK(renamed.pieces[0].renamed->block == "VAMP_2");
  const TwinnedDrawing open =
      twins({insert("VAMP_2") + insert("LINING"), test::block("VAMP_2", panel({0, 0}, 0.5)) + lining()});
  REQUIRE(open.problems.size() == 1);
  INFO(open.problems.front().message);
  CHECK(open.problems.front().message.find("where it lay a line is drawn: its outline does not close") !=
        std::string::npos);
}

}  // namespace lastwright
