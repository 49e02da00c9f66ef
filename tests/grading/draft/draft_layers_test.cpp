// Drafts of drawings in which each piece has a layer of its own, and of pieces that lie partly on each other.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/place/off_forme.hpp"
#include "tests/support/drafted.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

std::string closed(const std::vector<Vec2>& points, const std::string& layer) {
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, points.size());
  for (const Vec2 p : points) text += fmt::format("|10 {}|20 {}", p.x, p.y);
  return tags(text);
}

std::string circle(Vec2 at, double radius, const std::string& layer) {
  return tags(fmt::format("0 CIRCLE|8 {}|10 {}|20 {}|40 {}", layer, at.x, at.y, radius));
}

Draft draft_sheet(const std::string& entities, const std::string& inside) {
  Result<Drawing> read = read_dxf(drawing(entities), {});
  REQUIRE(read);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(read), "sheet", "sheet.dxf"});
  DraftOptions options;
  options.first.name = "sheet";
  options.first.inside = inside;
  options.kind = *shoe_kind({});
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  REQUIRE(draft);
  return *std::move(draft);
}

std::vector<Vec2> trapezium(double left, double right, double low, double high) {
  return {
      {left, low}, {right, low}, {right - 0.04 * (right - left), high}, {left + 0.04 * (right - left), high}};
}

}  // namespace

TEST_CASE("one layer a piece is one piece each, nested or not, with what is drawn in it", "[draft][law]") {
  holds_for_all(
      "pieces on layers of their own",
      [] {
        const int pieces = *rc::gen::inRange(2, 5);
        std::string text;
        std::size_t holes = 0;
        for (int i = 0; i < pieces; ++i) {
          const std::string layer = fmt::format("LAYER {}", static_cast<char>('A' + i));
          const double in = 24.0 * i;
          text += closed(trapezium(in, 260.0 - in, 0.4 * in, 140.0 - 0.4 * in), layer);
          const int own = *rc::gen::inRange(0, 3);
          for (int k = 0; k < own; ++k) text += circle({in + 12.0, 60.0 + 8.0 * k}, 1.5, layer);
          holes += static_cast<std::size_t>(own);
        }
        const Draft said = draft_sheet(text, "cut-outs");
        RC_ASSERT(said.style.pieces.size() == static_cast<std::size_t>(pieces));
        RC_ASSERT(said.lost.empty());
        std::size_t counted = 0;
        for (const PieceSpec& piece : said.style.pieces) {
          RC_ASSERT(piece.source.layer.has_value());
          counted += static_cast<std::size_t>(piece.drawn_marks->cut_outs.value_or(0) +
                                              piece.drawn_marks->holes.value_or(0));
        }
        RC_ASSERT(counted == holes);
        // Where nobody says what the circles are, all pieces come all the same, and the circles are told as
        // lost.
        const Draft open = draft_sheet(text, "");
        RC_ASSERT(open.style.pieces.size() == static_cast<std::size_t>(pieces));
        RC_ASSERT(open.lost.empty() == (holes == 0));
      },
      40);
  // Two rows of stitches, one inside the other, on a layer of their own are no piece.
  const Draft rows =
      draft_sheet(closed(trapezium(0, 260, 0, 120), "VAMP") + closed(trapezium(20, 240, 10, 110), "ROWS") +
                      closed(trapezium(22, 238, 12, 108), "ROWS"),
                  "");
  CHECK(rows.style.pieces.size() == 1);
  CHECK(rows.lost.size() == 2);
}

TEST_CASE("a draft of pieces that lie on each other is not refused by its own check", "[draft][off][law]") {
  int proposed = 0;
  holds_for_all(
      "what a draft puts on one forme stays there",
      [&] {
        const int pieces = *rc::gen::inRange(2, 5);
        std::string text;
        double left = 0.0;
        double most = 0.0;
        for (int i = 0; i < pieces; ++i) {
          const double low = 20.0 * i;
          text += closed(trapezium(left, left + 156.0, low, low + 90.0),
                         fmt::format("P{}", static_cast<char>('A' + i)));
          const double share = *rc::gen::inRange(40, 99) / 100.0;
          left += 156.0 * share;
          if (i + 1 < pieces) most = std::max(most, share);
        }
        const Draft draft = draft_sheet(text, "");
        RC_ASSERT(draft.problems.empty());
        RC_ASSERT(draft.style.pieces.size() == static_cast<std::size_t>(pieces));
        std::vector<BoundPiece> bound;
        std::map<std::string, PatternDrawing> drawings;
        drawings.emplace("sheet",
                         pattern_drawing(*read_dxf(drawing(text), {}), draft.style.drawings.front()));
        const BoundStyle again = bind_as_drawn(draft.style, drawings);
        RC_ASSERT(again.problems.empty());
        RC_ASSERT(off_forme(draft.style, again.pieces).problems.empty());
        // Without what was put in, a refusal says how much of the piece really lies where nothing is.
        StyleSpec plain = draft.style;
        for (PieceSpec& piece : plain.pieces) {
          proposed += piece.lies ? 1 : 0;
          piece.lies.reset();
        }
        BoundStyle unsaid = again;
        for (BoundPiece& piece : unsaid.pieces) piece.spec.lies.reset();
        const OffForme off = off_forme(plain, unsaid.pieces);
        // A fifth of the width and three quarters of the height of each lie on the one before, or more.
        RC_ASSERT(off.off.empty() || most > 0.8);
        for (const Problem& problem : off.problems) RC_ASSERT(*problem.value < OffFormeLimits{}.least_share);
      },
      40);
  CHECK(proposed > 0);
}

TEST_CASE("a facing that alone closes the uppers is told with the layer that it was given", "[draft]") {
  const Vec2 low[] = {{0, 0}, {100, -3}, {130, -4}, {248, 12}};
  const Vec2 high[] = {{3, 56}, {95, 44}, {125, 42}, {184, 40}};
  const auto panel = [&](const char* name, int from, int to) {
    return DrawnPiece{name,
                      low[from],
                      {line_to(low[to]), line_to(high[to]), line_to(high[from]), line_to(low[from])},
                      lerp(low[from], high[to], 0.5)};
  };
  const auto told = [](std::vector<DrawnPiece> upper) {
    const Draft draft = court_draft({}, std::move(upper));
    const bool said = proposes(draft, R"(facing: layer "linings", by its name)") &&
                      proposes(draft, "but quarter, vamp have only");
    const bool warned = std::any_of(draft.warnings.begin(), draft.warnings.end(), [](const auto& one) {
      return one.find("the uppers close with it alone") != std::string::npos;
    });
    CHECK(said == warned);
    return said;
  };
  CHECK(told({panel("QUARTER", 0, 1), panel("FACING", 1, 2), panel("VAMP", 2, 3)}));
  // Called a lining, or under an upper that closes without it.
  CHECK_FALSE(told({panel("QUARTER", 0, 1), panel("FACING LINING", 1, 2), panel("VAMP", 2, 3)}));
  CHECK_FALSE(
      told({panel("QUARTER", 0, 1), panel("COLLAR", 1, 2), panel("FACING", 1, 2), panel("VAMP", 2, 3)}));
  CHECK_FALSE(told({panel("QUARTER", 0, 2), panel("FACING", 1, 2), panel("VAMP", 2, 3)}));
  CHECK_FALSE(told({panel("QUARTER", 0, 1), panel("COLLAR", 1, 2), panel("VAMP", 2, 3)}));
}
