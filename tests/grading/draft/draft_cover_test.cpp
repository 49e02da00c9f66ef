// Heel covers, drawn whole or as their half: folded where the other half runs on smoothly or not at all, and
// high along their middle.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/style/forme_lookup.hpp"
#include "tests/support/drawn_forms.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

struct CoverForm {
  double half = 35.0;  // mm wide, at the foot
  double foot = 5.8;   // mm that the foot rises from the breast to the middle
  double high = 24.0;  // mm, of the breast edge
  double rise = 4.0;   // mm that the top rises from the breast to the middle
  double in = 4.0;     // mm that the breast edge leans in
  double bulge = 0.0;  // mm that it bends out
  [[nodiscard]] Vec2 low() const { return {0.0, foot}; }
  [[nodiscard]] Vec2 top() const { return {0.0, high + rise}; }
};

// From the middle round to the middle, without the fold.
std::vector<Stroke> right_half(const CoverForm& form) {
  const Vec2 breast{form.half, 0.0};
  const Vec2 corner{form.half - form.in, form.high};
  const Stroke side = form.bulge == 0.0 ? line_to(corner)
                                        : curve_to(lerp(breast, corner, 0.3) + Vec2{form.bulge, 0},
                                                   lerp(breast, corner, 0.7) + Vec2{form.bulge, 0}, corner);
  return {curve_to({0.35 * form.half, form.foot}, {0.6 * form.half, 0.7 * form.foot}, breast), side,
          curve_to({0.6 * form.half, form.top().y - 0.3 * form.rise}, {0.3 * form.half, form.top().y},
                   form.top())};
}

DrawnPiece heel_cover_of(const CoverForm& form, bool whole) {
  DrawnPiece piece{"HEEL_COVER", form.low(), right_half(form), {0.2 * form.half, 0.5 * form.high}};
  if (!whole) {
    piece.strokes.push_back(line_to(form.low()));
    return piece;
  }
  std::vector<Vec2> starts{form.low()};
  for (const Stroke& stroke : piece.strokes) starts.push_back(stroke.to);
  const std::vector<Stroke> right = piece.strokes;
  for (std::size_t i = right.size(); i-- > 0;) {
    Stroke back = turned_back(starts[i], right[i]);
    back.to.x = -back.to.x;
    for (Vec2& pole : back.inner) pole.x = -pole.x;
    piece.strokes.push_back(back);
  }
  return piece;
}

CoverForm any_cover() {
  CoverForm form;
  form.half = *rc::gen::inRange(22, 70);
  form.high = *rc::gen::inRange(14, 90);
  form.foot = *rc::gen::inRange(3, 9);
  form.rise = *rc::gen::inRange(2, 9);
  form.in = *rc::gen::inRange(0, 8);
  return form;
}

bool warns_of(const Draft& draft, const std::string& words) {
  return std::any_of(draft.warnings.begin(), draft.warnings.end(),
                     [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a heel cover is cut double on its middle, or not where it is drawn whole, wherever it lies",
          "[draft][law]") {
  holds_for_all(
      "fold on the middle, height along it",
      [](bool whole, bool over, bool chords, bool bent) {
        CoverForm form = any_cover();
        form.bulge = bent && whole ? 2.0 : 0.0;
        const SheetPlace place{*rc::gen::inRange(0, 360) * 1.0,
                               over,
                               {*rc::gen::inRange(-500, 500) * 1.0, 40.0},
                               *rc::gen::inRange(0, 2) == 1};
        const SheetPlace in_mm{place.degrees, place.over, place.shift, false};
        DrawnPiece piece = heel_cover_of(form, whole);
        DraftOptions read;
        if (chords) {
          piece = drawn_chordwise(piece, 1.0);
          read.first.corner_angle = from_degrees(20.0);
        }
        const Draft draft = draft_of_kind(court_drawing({piece}, place), {"heel-cover"}, "28", read);
        RC_ASSERT(draft.style.pieces.size() == 1U);
        const PieceSpec& cover = draft.style.pieces.front();
        const FormeSpec& forme = draft.style.formes.front();
        RC_ASSERT(cover.hand == Hand::kSymmetric);
        RC_ASSERT(cover.fold.has_value() == !whole);
        const Vec2 start = drawn_place(forme, "start");
        const Vec2 end = drawn_place(forme, "end");
        const Vec2 low = in_mm.of(form.low());
        const Vec2 top = in_mm.of(form.top());
        RC_ASSERT(std::min(distance(start, low) + distance(end, top),
                           distance(start, top) + distance(end, low)) < 0.3);
        const double spread = std::abs(dot(drawn_place(forme, "side") - start, left_of(unit(top - low))));
        if (form.bulge == 0.0) RC_ASSERT(std::abs(spread - form.half) < 0.3);
        const MeasureLine& height = std::get<MeasureLine>(forme.rules.front());
        RC_ASSERT(height.carries.front().first == "heel height");
        RC_ASSERT(!warns_of(draft, "mirror line"));
      },
      30);
}

TEST_CASE("what shows no middle of a heel cover is not folded, and is told", "[draft]") {
  const auto drafted = [](const std::vector<Stroke>& strokes) {
    const DrawnPiece piece{"HEEL_COVER", strokes.back().to, strokes, {10, 10}};
    Draft draft = draft_of_kind(blocks_of({{piece, {31.0, false, {}, false}}}), {"heel-cover"}, "28");
    CHECK_FALSE(draft.style.pieces.front().fold.has_value());
    return draft;
  };
  // The way up a box is its shorter one.
  const Draft box = drafted({line_to({70, 0}), line_to({70, 30}), line_to({0, 30}), line_to({0, 0})});
  CHECK(warns_of(box, "its own mirror image both ways"));
  const FormeSpec& forme = box.style.formes.front();
  CHECK(distance(drawn_place(forme, "start"), drawn_place(forme, "end")) == Approx(30.0));
  CHECK(warns_of(drafted({curve_to({13, 0}, {27, -5}, {40, -5}), line_to({40, 20}),
                          curve_to({27, 20}, {13, 24}, {0, 24}), line_to({0, 0})}),
                 "the edges beside two of its straight edges meet these square, one 24.0 mm and one 25.0 mm "
                 "long"));
  CHECK(warns_of(drafted({line_to({40, 0}), line_to({30, 30}), line_to({-20, 24}), line_to({0, 0})}),
                 "it has no straight edge"));
}
