// Whatever is lost of a feature is missed.
#include "grading/features/feature_count.hpp"

#include <catch2/catch.hpp>

#include "geometry/check/simple.hpp"
#include "grading/pieces/unfold.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/feature_panel.hpp"

using namespace lastwright;
using test::FeaturePanel;

namespace {

FormePlace on_forme(double x, double y) {
  return {Vec2{x, y}, {}};
}

FeaturePanel furnished(FeaturePanel ground) {
  const std::string edge = ground.piece.edges[1].name;
  const CourseSpec along{{edge}, {}, Millimetres(6), Millimetres(5), Millimetres(5)};
  RowWork row{
      RowKind::kPerforation, along, {}, {{{}, {}, Millimetres(2)}, {Millimetres(3), {}, Millimetres(1)}}};
  row.spacing.count = 4;
  RowWork pitched = row;
  pitched.spacing.count.reset();
  pitched.spacing.pitch = Millimetres(8);
  ground.style.codes = {{"sizes", CodeOf::kSize, {{"8", {1, 3}}}}};
  ground.piece.features = {
      {"hole", HoleWork{on_forme(10, -10), Millimetres(3)}, {}},
      {"prick", PrickWork{on_forme(20, -10)}, {}},
      {"row", row, {}},
      {"pitched", pitched, {}},
      {"slot", SlotWork{on_forme(-20, -8), Millimetres(8), Millimetres(2), 0}, {}},
      {"bar", BuckleBarWork{on_forme(-5, -8), Millimetres(9), Millimetres(7), Millimetres(2), 0}, {}},
      {"lines", LineWork{LineKind::kStitch, along, 2, Millimetres(2)}, {}},
      {"skive", SkiveWork{{edge}, Millimetres(5), Millimetres(1)}, {}},
      {"nick", NickWork{edge, {{Fraction(1, 2)}, {}, false}, {}}, {}},
      {"marks", SizeMarksWork{"sizes", edge, {{}, Millimetres(20), false}, Millimetres(5), {}}, {}},
      {"text", TextWork{on_forme(0, -12), "x", Millimetres(3), 0}, {}},
      {"pair", PairNumberWork{on_forme(15, -12), Millimetres(9), Millimetres(5), 0}, {}}};
  return ground;
}

// Drops each thing of each feature in turn; all but the last of what may be as few as one must be missed.
template <class Thing>
void drop_each(const FeaturePanel& ground, const std::vector<PlacedFeature>& made,
               std::vector<Thing> PlacedFeature::*things, int& dropped) {
  const std::optional<Mirror> fold = fold_of(ground.graded);
  for (std::size_t f = 0; f < made.size(); ++f) {
    if (ground.piece.features[f].name == "pitched" || ground.piece.features[f].name == "skive") continue;
    for (std::size_t i = 0; i < (made[f].*things).size(); ++i) {
      std::vector<PlacedFeature> less = made;
      auto& all = less[f].*things;
      all.erase(all.begin() + static_cast<std::ptrdiff_t>(i));
      const bool told =
          !all_made(ground.piece, ground.plan(), ground.graded.at, ground.graded.at.size, fold, less);
      // Of two images one is missed because it has no mirror image any more.
      const bool lopsided = fold && off_mirror_image(less[f], *fold).first > 0.05;
      CAPTURE(ground.piece.features[f].name, i);
      CHECK((told || lopsided));
      ++dropped;
    }
  }
}

}  // namespace

TEST_CASE("each hole, line, cut-out, nick and text that is lost is missed", "[feature-count]") {
  for (const bool folded : {false, true}) {
    const FeaturePanel ground =
        furnished(folded ? test::folded_box(100, 60) : FeaturePanel(test::box_path(100, 60), 3.0, 4));
    const auto made = ground.place();
    REQUIRE(made);
    const auto fold = fold_of(ground.graded);
    REQUIRE(fold.has_value() == folded);
    CHECK(all_made(ground.piece, ground.plan(), ground.graded.at, ground.graded.at.size, fold, *made).ok());
    int dropped = 0;
    drop_each(ground, *made, &PlacedFeature::holes, dropped);
    drop_each(ground, *made, &PlacedFeature::lines, dropped);
    drop_each(ground, *made, &PlacedFeature::cut_outs, dropped);
    drop_each(ground, *made, &PlacedFeature::nicks, dropped);
    drop_each(ground, *made, &PlacedFeature::texts, dropped);
    CHECK(dropped == (folded ? 39 : 22));
    std::vector<PlacedFeature> less = *made;
    less.pop_back();
    CHECK_FALSE(
        all_made(ground.piece, ground.plan(), ground.graded.at, ground.graded.at.size, fold, less).ok());
    less = *made;
    less[0].holes.insert(less[0].holes.end(), 2, less[0].holes.front());
    CHECK_FALSE(
        all_made(ground.piece, ground.plan(), ground.graded.at, ground.graded.at.size, fold, less).ok());
  }
}

TEST_CASE("texts and frames on both halves fill the mirror image of their place", "[feature-count]") {
  FeaturePanel ground = test::folded_box(100, 60);
  ground.piece.features = {{"text", TextWork{on_forme(10, -12), "ab", Millimetres(4), 30}, true}};
  const auto made = ground.place();
  REQUIRE(made);
  REQUIRE(made->front().texts.size() == 2);
  const Mirror fold = *fold_of(ground.graded);
  const auto corners = [](const SheetText& text, double width) {
    const Vec2 along = turned({1, 0}, text.angle.value());
    return std::vector{text.at, text.at + width * along,
                       text.at + width * along + text.height * left_of(along),
                       text.at + text.height * left_of(along)};
  };
  for (const Vec2 corner : corners(made->front().texts[0], 5.2)) {
    double nearest = INFINITY;
    for (const Vec2 other : corners(made->front().texts[1], 5.2))
      nearest = std::min(nearest, distance(fold(corner), other));
    CHECK(nearest < 1e-9);
  }
}

TEST_CASE("what is drawn is kept through unfolding, and doubled only where it has two places",
          "[feature-count]") {
  GradedPiece half;
  half.piece = "half";
  half.net.path = {{{{-50, 0}}, {{-50, -30}}, {{50, -30}}, {{50, 0}}}};
  half.net.edge = {0, 1, 2, 3};
  half.holes = {{{10, -10}, 2, Operation::kHole}, {{0, 0}, 3, Operation::kHole}};
  half.cut_outs = {{{{{20, -5}}, {{30, -5}}, {{30, 5}}, {{20, 5}}}},
                   {{{{-30, -15}}, {{-20, -15}}, {{-20, -5}}, {{-30, -5}}}}};
  half.lines = {{OpenArcPath{{{{50, 0}, 0.0}, {{47, 0}, 0.0}}}, Operation::kNick},
                {OpenArcPath{{{{0, -30}, 0.0}, {{0, -27}, 0.0}}}, Operation::kNick},
                {OpenArcPath{{{{-40, -20}, 0.0}, {{40, -20}, 0.0}}}, Operation::kGuide}};
  const Result<GradedPiece> whole = unfolded(half, 3);
  REQUIRE(whole);
  CHECK(whole->holes.size() == 3);
  CHECK(whole->cut_outs.size() == 3);           // the one across the fold once
  CHECK(whole->lines.size() == 1 + 1 + 2 + 2);  // the fold, the nick at its end once
  const std::optional<Mirror> fold = fold_of(*whole);
  CHECK(all_drawn_kept(half, *whole, fold).ok());
  for (std::size_t i = 0; i < 3; ++i) {
    GradedPiece less = *whole;
    if (i == 0) less.holes.erase(less.holes.begin());
    if (i == 1) less.cut_outs.erase(less.cut_outs.begin());
    if (i == 2) less.lines.pop_back(), less.lines.pop_back();
    CHECK_FALSE(all_drawn_kept(half, less, fold).ok());
  }
}
