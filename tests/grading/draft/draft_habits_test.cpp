// Habits of drawing that change nothing of a shoe: texts beside each other in pieces that lie over each
// other, curves in chords, a heel cover drawn whole.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "grading/pieces/first/first_style.hpp"
#include "grading/style/forme_lookup.hpp"
#include "tests/support/invented_court.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// As one closed polyline, each cubic in so many chords.
std::string drawn_in_chords(const DrawnPiece& piece, int chords, const std::string& layer) {
  std::vector<Vec2> points{piece.from};
  for (const Stroke& stroke : piece.strokes) {
    const Vec2 from = points.back();
    const int count = stroke.inner.empty() ? 1 : chords;
    for (int i = 1; i <= count; ++i) {
      const double t = static_cast<double>(i) / count;
      points.push_back(stroke.inner.empty() ? stroke.to : first_part(from, stroke, t).to);
    }
  }
  if (distance(points.front(), points.back()) < 1e-6) points.pop_back();
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, points.size());
  for (const Vec2 p : points) text += "|" + at_tags(10, 20, p);
  return tags(text);
}
std::string text_named(const std::string& name, Vec2 at) {
  return tags(fmt::format("0 TEXT|8 15|{}|40 3|1 {}", at_tags(10, 20, at), name));
}

Draft habit_draft(const std::string& dxf, const std::vector<std::string>& kinds,
                  std::optional<FairSpec> fair = {}, const std::string& file = "sheet") {
  Result<Drawing> drawing = read_dxf(dxf, {});
  REQUIRE(drawing);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(drawing), file, file + ".dxf"});
  DraftOptions options;
  options.first.name = "sheet";
  options.first.fair = fair;
  if (fair) options.first.corner_angle = from_degrees(20.0);
  options.basis.scale = "paris-point";
  options.basis.size = "36";
  options.kind = *shoe_kind(kinds);
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

bool warns(const Draft& draft, const std::string& words) {
  return std::any_of(draft.warnings.begin(), draft.warnings.end(),
                     [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

// A heel cover, its own mirror image in x = 45, or its half.
std::string cover(bool whole) {
  const std::vector<Vec2> points = whole ? std::vector<Vec2>{{0, 0}, {90, 0}, {98, 55}, {-8, 55}}
                                         : std::vector<Vec2>{{45, 0}, {90, 0}, {98, 52}, {45, 55}};
  std::string text = fmt::format("0 LWPOLYLINE|8 1|90 {}|70 1", points.size());
  for (const Vec2 p : points) text += "|" + at_tags(10, 20, p);
  return block("HEEL_COVER", tags(text) + text_named("HEEL COVER", {60, 20}));
}

}  // namespace

TEST_CASE("of texts in pieces that lie over each other each names the piece of its layer", "[draft][names]") {
  std::string drawn;
  for (const DrawnPiece& piece : court_upper()) {
    std::string words = piece.name;
    std::replace(words.begin(), words.end(), '_', ' ');
    drawn += drawn_in_chords(piece, 12, piece.name) + text_named(words, piece.text);
  }
  const Result<Drawing> sheet = read_dxf(drawing(drawn), {});
  REQUIRE(sheet);
  const Result<FirstStyle> style = first_style(*sheet, {});
  REQUIRE(style);
  std::set<std::string> names;
  for (const PieceSpec& piece : style->style.pieces) {
    names.insert(piece.name);
    std::string layer = piece.source.layer.value_or("");
    std::transform(layer.begin(), layer.end(), layer.begin(),
                   [](char c) { return c == '_' ? ' ' : static_cast<char>(std::tolower(c)); });
    CHECK(piece.name == layer);
  }
  CHECK(names == std::set<std::string>{"vamp", "quarter outside", "quarter inside", "vamp lining",
                                       "quarter lining", "stiffener"});
  for (const std::string& one : style->warnings) {
    INFO(one);
    CHECK(one.find("TEXT") == std::string::npos);
  }
}

TEST_CASE("the joints of a sole lie where its curve has them, in how many chords it is drawn",
          "[draft][law]") {
  struct Joints {
    double across;
    Vec2 inside;
    Vec2 outside;
    Vec2 toe;
  };
  const auto joints = [](const std::string& dxf, std::optional<FairSpec> fair) {
    const Draft draft = habit_draft(dxf, {}, fair);
    REQUIRE(draft.style.formes.size() == 1);
    const FormeSpec& forme = draft.style.formes.front();
    const Vec2 inside = drawn_place(forme, "inside joint");
    const Vec2 outside = drawn_place(forme, "outside joint");
    return Joints{distance(inside, outside), inside, outside, drawn_place(forme, "toe")};
  };
  const DrawnPiece sole = court_bottom().front();
  const Joints drawn = joints(court_drawing({sole}, {}), {});
  for (const int chords : {14, 19, 26, 40}) {
    for (const double within : {0.0, 0.02, 0.06}) {
      CAPTURE(chords, within);
      std::optional<FairSpec> fair;
      if (within > 0.0) fair = FairSpec{Millimetres(within)};
      const std::string text = drawn_in_chords(sole, chords, "1") + text_named("INSOLE", sole.text);
      const Joints here = joints(drawing(text), fair);
      CHECK(std::abs(here.across - drawn.across) < 1.2);
      CHECK(distance(here.inside, drawn.inside) < 3.0);
      CHECK(distance(here.outside, drawn.outside) < 3.0);
      CHECK(distance(here.toe, drawn.toe) < 2.0);
    }
  }
}

TEST_CASE("a heel cover that is drawn whole is taken as it is, and one drawn as its half is cut double",
          "[draft]") {
  for (const bool whole : {true, false}) {
    CAPTURE(whole);
    const std::string dxf = section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
                            section("BLOCKS", cover(whole)) +
                            section("ENTITIES", tags("0 INSERT|8 0|2 HEEL_COVER|10 0|20 0")) + "0\nEOF\n";
    const Draft draft = habit_draft(dxf, {"heel-cover"});
    REQUIRE(draft.style.pieces.size() == 1);
    const PieceSpec& piece = draft.style.pieces.front();
    CHECK(piece.hand == Hand::kSymmetric);
    CHECK(piece.fold.has_value() == !whole);
    CHECK_FALSE(warns(draft, "draw its half"));
    const FormeSpec& forme = draft.style.formes.front();
    // From its middle to its side, whichever is drawn.
    CHECK(std::abs(drawn_place(forme, "start").x - 45.0) < 1e-3);
    CHECK(std::abs(std::abs(drawn_place(forme, "side").x - 45.0) - 53.0) < 1e-3);
    CHECK((piece.lies && piece.lies->as_drawn) == whole);  // its corners lie on no point of the forme then
  }
}

TEST_CASE("a kind with lines on the last is not called idle where no part of it has its own forme",
          "[draft]") {
  const std::string upper = court_drawing(court_upper(), {});
  CHECK_FALSE(warns(habit_draft(upper, {"boot-shaft"}), "--kind boot-shaft"));
  CHECK(warns(
      habit_draft(upper, {"heel-cover"}),
      "--kind heel-cover: no piece is one by its name or shape (a piece apart from the last's formes with "
      "\"heel cover\" or \"cover\" in its name), so"));
  CHECK(warns(habit_draft(upper, {"strap"}), "\"loop\" in its name, or one of constant width), so"));
  // Its lines are for an upper, and there is none.
  CHECK(warns(habit_draft(court_drawing(court_bottom(), {}), {"boot-shaft"}), "--kind boot-shaft"));
}
