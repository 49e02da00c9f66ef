// What is removed or marked, against edges, corners, the other half and each other.
#include "grading/checks/features/feature_rules.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "grading/checks/lasting/outline_depth.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/feature_panel.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using test::FeaturePanel;

namespace {

FormePlace at(double x, double y) {
  return {Vec2{x, y}, {}};
}
SlotWork slot(double x, double y, double length, double width, double degrees = 0.0) {
  return {at(x, y), Millimetres(length), Millimetres(width), degrees};
}
HoleWork hole(double x, double y, double diameter) {
  return {at(x, y), Millimetres(diameter)};
}
LineWork stitch(std::vector<Spot> through) {
  LineWork work;
  work.along.through = std::move(through);
  return work;
}

FeatureLook look(const FeaturePanel& ground) {
  const auto placed = ground.place();
  REQUIRE(placed);
  return look_at_features(ground.graded, ground.piece, *placed);
}

std::optional<FeatureMet> met(const FeatureLook& look, FeatureRule rule, std::uint16_t feature = 0) {
  const auto found = std::find_if(look.begin(), look.end(), [&](const FeatureMet& one) {
    return one.rule == rule && one.feature == feature;
  });
  return found == look.end() ? std::nullopt : std::optional(*found);
}

double value(const FeatureLook& look, FeatureRule rule, std::uint16_t feature = 0) {
  const std::optional<FeatureMet> one = met(look, rule, feature);
  REQUIRE(one);
  return one->value;
}

}  // namespace

TEST_CASE("a slot longer than its tab is wide stands out of the finished edge", "[feature-rules]") {
  // The tab is 14 mm wide and has an allowance of 4 mm: the slot stays inside the cut line.
  FeaturePanel ground(test::box_path(60, 14), 4.0, 4);
  ground.piece.features = {{"loop", slot(0, 0, 20, 2, 90), {}}};
  const FeatureLook seen = look(ground);
  CHECK(value(seen, FeatureRule::kCutOutToEdge) == Approx(-3.0).margin(0.011));
  CHECK(value(seen, FeatureRule::kInside) == 0.0);
  ground.piece.features = {{"loop", slot(0, 0, 8, 2, 90), {}}};
  CHECK(value(look(ground), FeatureRule::kCutOutToEdge) == Approx(3.0));
  // In the allowance the cut line counts.
  ground.piece.features = {{"loop", slot(0, 9, 8, 1, 0), {}}};
  CHECK(value(look(ground), FeatureRule::kCutOutToEdge) == Approx(1.5));
  ground.piece.features = {{"loop", slot(0, 10.8, 8, 1, 0), {}}};
  CHECK(value(look(ground), FeatureRule::kCutOutToEdge) == Approx(-0.3).margin(0.011));
  // It holds the whole piece.
  ground.piece.features = {{"loop", slot(0, 0, 200, 100, 0), {}}};
  CHECK(value(look(ground), FeatureRule::kCutOutToEdge) < -10.0);
}

TEST_CASE("a hole across the finished edge is found from either side of it", "[feature-rules]") {
  FeaturePanel ground(test::box_path(60, 40), 10.0, 4);
  for (const auto& [y, left] : {std::pair{19.0, -2.0}, {21.0, -4.0}, {24.0, 3.0}, {10.0, 7.0}}) {
    CAPTURE(y);
    ground.piece.features = {{"hole", hole(0, y, 6), {}}};
    CHECK(value(look(ground), FeatureRule::kHoleToEdge) == Approx(left));
  }
}

TEST_CASE("slots over and beside each other", "[feature-rules]") {
  FeaturePanel ground(test::box_path(100, 60), 0.0, 4);
  ground.piece.features = {{"one", slot(0, 0, 20, 4), {}}, {"two", slot(0, 0, 20, 4, 90), {}}};
  FeatureLook seen = look(ground);
  CHECK(value(seen, FeatureRule::kCutOutGap) < -1.0);
  CHECK(met(seen, FeatureRule::kCutOutGap)->other == 1);
  ground.piece.features[1].work = slot(0, 9, 20, 4);
  seen = look(ground);
  CHECK(value(seen, FeatureRule::kCutOutGap) == Approx(5.0));
  CHECK(value(seen, FeatureRule::kCutOutGap, 1) == Approx(5.0));
  // The nearest of several counts, whatever their order.
  ground.piece.features.push_back({"three", slot(0, -5, 20, 2), {}});
  seen = look(ground);
  CHECK(value(seen, FeatureRule::kCutOutGap) == Approx(2.0));
  CHECK(met(seen, FeatureRule::kCutOutGap)->other == 2);
  // One whole in another.
  ground.piece.features[2].work = slot(0, 0, 6, 1);
  CHECK(value(look(ground), FeatureRule::kCutOutGap) == Approx(-2.0));
  CHECK(value(look(ground), FeatureRule::kCutOutGap, 2) == Approx(-2.0));
  ground.piece.features.pop_back();
  // A hole where the slot is.
  ground.piece.features[1].work = hole(3, 0, 2);
  CHECK(value(look(ground), FeatureRule::kHoleToHole, 1) == Approx(-3.0));
}

TEST_CASE("marks may not run into holes and cut-outs", "[feature-rules]") {
  FeaturePanel ground(test::box_path(100, 60), 0.0, 4);
  ground.piece.features = {{"eyelet", hole(0, 5, 4), {}}, {"row", stitch({Vec2{-30, 0}, Vec2{30, 0}}), {}}};
  CHECK(value(look(ground), FeatureRule::kMarkToHole, 1) == Approx(3.0));
  ground.piece.features[0].work = hole(0, 1, 4);
  FeatureLook seen = look(ground);
  CHECK(value(seen, FeatureRule::kMarkToHole, 1) == Approx(-1.0));
  CHECK(met(seen, FeatureRule::kMarkToHole, 1)->other == 0);
  ground.piece.features[0].work = slot(0, 0, 4, 2, 90);
  CHECK(value(look(ground), FeatureRule::kMarkToHole, 1) < -0.4);
  ground.piece.features[1].work = TextWork{at(-4, -1), "size", Millimetres(3), 0.0};
  CHECK(value(look(ground), FeatureRule::kMarkToHole, 1) < -0.4);
  ground.piece.features[1].work = PrickWork{at(0, 1)};
  CHECK(value(look(ground), FeatureRule::kMarkToHole, 1) == Approx(-1.0));
  ground.piece.features[1].work = PairNumberWork{at(5, 0), Millimetres(10), Millimetres(6), 0.0};
  CHECK(value(look(ground), FeatureRule::kMarkToHole, 1) < -0.4);
  // A lap guide is only told.
  LineWork guide = stitch({Vec2{-30, 0}, Vec2{30, 0}});
  guide.kind = LineKind::kLapGuide;
  ground.piece.features[1].work = guide;
  seen = look(ground);
  CHECK_FALSE(met(seen, FeatureRule::kMarkToHole, 1));
  CHECK(value(seen, FeatureRule::kGuideOverHole, 1) > 0.4);
}

TEST_CASE("nicks keep off holes, drawn nicks start on the cut line", "[feature-rules]") {
  FeaturePanel ground(test::box_path(100, 60), 8.0, 4);
  ground.piece.features = {
      {"nick", NickWork{"edge 0", {{}, Millimetres(50), false}, {NickForm::kSlit, Millimetres(5), {}}}, {}},
      {"hole", hole(0, -31, 2), {}}};
  // The tip lies at y = -33, the hole's rim at -32.
  CHECK(value(look(ground), FeatureRule::kNickToHole) == Approx(1.0));
  CHECK_FALSE(met(look(ground), FeatureRule::kNickAtCut, 2));
  ground.graded.lines.push_back({OpenArcPath{{{{20, -30}, 0.0}, {{20, -27}, 0.0}}}, Operation::kNick});
  CHECK(value(look(ground), FeatureRule::kNickAtCut, 2) == Approx(8.0));
}

TEST_CASE("what stands out between its nodes is found", "[feature-rules]") {
  // A U: the line runs from leg to leg over the throat, with its ends and its middle inside.
  const ClosedArcPath outline{{{{0, 0}},
                               {{60, 0}},
                               {{60, 40}},
                               {{50, 40}},
                               {{50, 10}},
                               {{35, 10}},
                               {{35, 40}},
                               {{25, 40}},
                               {{25, 10}},
                               {{10, 10}},
                               {{10, 40}},
                               {{0, 40}}}};
  FeaturePanel ground(outline, 0.0, 4);
  ground.piece.features = {{"row", stitch({Vec2{5, 30}, Vec2{55, 30}}), {}}};
  CHECK(value(look(ground), FeatureRule::kInside) == Approx(7.5).margin(0.011));
  ground.piece.features = {{"row", stitch({Vec2{5, 5}, Vec2{55, 5}}), {}}};
  CHECK(value(look(ground), FeatureRule::kInside) == 0.0);
  // Drawn ones as well; a drawn guide and a drawn text are told without a limit.
  ground.piece.features.clear();
  ground.graded.lines.push_back({OpenArcPath{{{{5, 30}, 0.0}, {{55, 30}, 0.0}}}, Operation::kStitch});
  CHECK(value(look(ground), FeatureRule::kInside) == Approx(7.5).margin(0.011));
  ground.graded.lines.front().operation = Operation::kGuide;
  CHECK_FALSE(met(look(ground), FeatureRule::kInside));
  CHECK(value(look(ground), FeatureRule::kDrawnOutside) == Approx(7.5).margin(0.011));
}

TEST_CASE("what lies in the allowance, texts over texts and wide skives are told", "[feature-rules]") {
  FeaturePanel ground(test::box_path(60, 30), 10.0, 4);
  ground.piece.features = {{"row", stitch({Vec2{-34, 0}, Vec2{20, 0}}), {}}};
  FeatureLook seen = look(ground);
  CHECK(value(seen, FeatureRule::kInAllowance) == Approx(4.0).margin(0.011));
  CHECK(value(seen, FeatureRule::kInside) == 0.0);
  ground.piece.features = {{"a", TextWork{at(-10, 0), "abcd", Millimetres(4), 0.0}, {}},
                           {"b", TextWork{at(-5, 1), "\xc3\xa4\xc3\xa4", Millimetres(4), 0.0}, {}}};
  seen = look(ground);
  CHECK(value(seen, FeatureRule::kTextOverText) > 1.0);
  ground.piece.features[1].work = TextWork{at(1, 1), "abcd", Millimetres(4), 0.0};
  CHECK_FALSE(met(look(ground), FeatureRule::kTextOverText));

  // A waist of 6 mm under a band of 8 mm.
  const ClosedArcPath waisted{
      {{{0, 0}}, {{100, 0}}, {{100, 30}}, {{60, 30}}, {{60, 6}}, {{40, 6}}, {{40, 30}}, {{0, 30}}}};
  FeaturePanel narrow(waisted, 0.0, 8);
  narrow.piece.features = {{"band", SkiveWork{{"edge 0"}, Millimetres(8), Millimetres(0.8)}, {}}};
  const auto placed = narrow.place();
  REQUIRE(placed);
  CHECK(placed->front().lines.size() == 2);
  CHECK(value(look(narrow), FeatureRule::kSkiveBeyond) == Approx(20.0));
  narrow.piece.features = {{"band", SkiveWork{{"edge 0"}, Millimetres(5), Millimetres(0.8)}, {}}};
  CHECK_FALSE(met(look(narrow), FeatureRule::kSkiveBeyond));
}

TEST_CASE("stitch lines that cross and run on are told, rows that meet in a corner are not",
          "[feature-rules][law]") {
  int told = 0;
  test::holds_for_all(
      "two straight lines through one place",
      [&] {
        // Each runs on from the crossing by so much before and after; the least of the four tells.
        const Vec2 at{*rc::gen::inRange(-10, 11) + 0.0, *rc::gen::inRange(-10, 11) + 0.0};
        const double first = *rc::gen::inRange(0, 180) * std::numbers::pi / 180.0;
        const double turned = first + *rc::gen::inRange(20, 161) * std::numbers::pi / 180.0;
        std::vector<double> ways;
        const auto line = [&](double angle) {
          const Vec2 along{std::cos(angle), std::sin(angle)};
          ways.push_back(*rc::gen::inRange(-2, 40) + 0.5);
          ways.push_back(*rc::gen::inRange(4, 40) + 0.5);
          const Vec2 from = at - ways[ways.size() - 2] * along;
          const Vec2 to = at + ways.back() * along;
          // In one line or in two.
          return *rc::gen::arbitrary<bool>() ? std::vector<Spot>{from, to}
                                             : std::vector<Spot>{from, lerp(from, to, 0.4), to};
        };
        FeaturePanel ground(test::box_path(140, 140), 0.0, 4);
        ground.piece.features = {{"one", stitch(line(first)), {}}, {"two", stitch(line(turned)), {}}};
        const double least = *std::min_element(ways.begin(), ways.end());
        const auto found = met(look(ground), FeatureRule::kStitchCross);
        RC_ASSERT(found.has_value() == (least >= 15.0));
        if (!found) return;
        ++told;
        RC_ASSERT(std::abs(found->value - least) < 1e-3);
        RC_ASSERT(distance(found->at, at) < 1e-3);
        RC_ASSERT(found->other == 1);
      },
      300);
  CHECK(told > 3);
  // A line that only touches another with its end or a corner, and rows of one feature, do not cross.
  FeaturePanel ground(test::box_path(140, 140), 0.0, 4);
  ground.piece.features = {{"one", stitch({Vec2{-60, 0}, Vec2{60, 0}}), {}},
                           {"two", stitch({Vec2{-40, 40}, Vec2{0, 0}, Vec2{40, 40}}), {}}};
  CHECK_FALSE(met(look(ground), FeatureRule::kStitchCross));
}

TEST_CASE("the two halves of a piece that is cut double are judged against each other", "[feature-rules]") {
  FeaturePanel ground = test::folded_box(100, 60);
  ground.piece.features = {{"slot", slot(0, -3, 20, 4), {}}};
  FeatureLook seen = look(ground);
  CHECK(value(seen, FeatureRule::kCutOutGap) == Approx(2.0));
  CHECK(value(seen, FeatureRule::kBothHalves) == 0.0);
  ground.piece.features = {{"slot", slot(0, -3, 20, 4, 45), {}}};
  CHECK(value(look(ground), FeatureRule::kCutOutGap) < -0.5);
  // On the fold it is made once: slanted it is not what both halves want.
  ground.piece.features = {{"slot", slot(0, 0, 20, 4, 0), {}}};
  CHECK(value(look(ground), FeatureRule::kBothHalves) < 1e-9);
  ground.piece.features = {{"slot", slot(0, 0, 20, 4, 30), {}}};
  CHECK(value(look(ground), FeatureRule::kBothHalves) > 2.0);
  ground.piece.features.front().both_halves = false;
  CHECK_FALSE(met(look(ground), FeatureRule::kBothHalves));
  // A stitch line farther from its edge than the fold is.
  ground.piece.features = {{"row", stitch({Vec2{-30, 4}, Vec2{30, -10}}), {}}};
  CHECK(value(look(ground), FeatureRule::kOverFold) == Approx(4.0));
  ground.piece.features = {{"row", stitch({Vec2{0, -10}, Vec2{0, 10}}), {}}};
  CHECK_FALSE(met(look(ground), FeatureRule::kOverFold));
  CHECK(ground.place()->front().lines.size() == 1);  // not twice on one place
  ground.piece.features = {{"row", stitch({Vec2{-30, -2}, Vec2{30, -10}}), {}}};
  CHECK_FALSE(met(look(ground), FeatureRule::kOverFold));
}

namespace {

// Random features at random places of the forme.
std::vector<FeatureSpec> random_features(test::Dice& dice) {
  std::vector<FeatureSpec> features;
  const auto spot = [&] { return Vec2{dice(-40, 40), dice(-25, 25)}; };
  for (int i = 0; i < 6; ++i) {
    const Vec2 p = spot();
    const std::string name = "feature " + std::to_string(i);
    const double kind = dice(0, 6);
    if (kind < 1) {
      features.push_back({name, hole(p.x, p.y, dice(1, 8)), {}});
    } else if (kind < 3) {
      const double width = dice(1, 5);
      features.push_back({name, slot(p.x, p.y, width + dice(1, 20), width, dice(0, 180)), {}});
    } else if (kind < 4) {
      features.push_back({name, stitch({p, spot()}), {}});
    } else if (kind < 5) {
      features.push_back({name, PrickWork{FormePlace{p, {}}}, {}});
    } else {
      features.push_back(
          {name,
           PairNumberWork{FormePlace{p, {}}, Millimetres(dice(8, 20)), Millimetres(dice(4, 9)), dice(0, 180)},
           {}});
    }
  }
  return features;
}

struct HoleMotion {
  bool mirrored = false;
  double angle = 0.0;
  Vec2 shift;
  Vec2 operator()(Vec2 p) const { return turned(mirrored ? Vec2{-p.x, p.y} : p, angle) + shift; }
  template <class Path>
  [[nodiscard]] Path operator()(Path path) const {
    for (ArcVertex& v : path.vertices) v = {(*this)(v.at), mirrored ? -v.bulge : v.bulge};
    return path;
  }
};

std::vector<PlacedFeature> feature_moved(std::vector<PlacedFeature> all, const HoleMotion& motion) {
  for (PlacedFeature& one : all) {
    for (GradedHole& hole : one.holes) hole.centre = motion(hole.centre);
    for (GradedLine& line : one.lines) line.path = motion(line.path);
    for (ClosedArcPath& path : one.cut_outs) {
      path = motion(path);
      if (motion.mirrored) path = reversed(path);
    }
    one.texts.clear();  // letters are not mirrored
  }
  return all;
}

}  // namespace

TEST_CASE("a piece that is moved, turned or mirrored has the same findings", "[feature-rules]") {
  test::holds_for_all("findings move with the piece", [] {
    const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20));
    test::Dice dice(seed);
    const ClosedArcPath net = test::blob(seed);
    RC_PRE(check_simple(net).ok());
    FeaturePanel ground(net, 3.0);
    ground.piece.features = random_features(dice);
    const auto placed = ground.place();
    RC_ASSERT(placed.ok());
    const HoleMotion motion{dice(0, 1) < 0.5, dice(-3, 3), {dice(-500, 500), dice(-500, 500)}};
    GradedPiece there = ground.graded;
    for (EdgedOutline* outline : {&there.net, &there.cut}) {
      outline->path = motion(outline->path);
      if (motion.mirrored) outline->path = reversed(outline->path);
    }
    const std::vector<PlacedFeature> here = feature_moved(*placed, HoleMotion{});
    const FeatureLook one = look_at_features(ground.graded, ground.piece, here);
    const FeatureLook other = look_at_features(there, ground.piece, feature_moved(here, motion));
    RC_ASSERT(one.size() == other.size());
    RC_ASSERT(!one.empty());
    for (std::size_t i = 0; i < one.size(); ++i) {
      RC_ASSERT(one[i].rule == other[i].rule);
      RC_ASSERT(one[i].feature == other[i].feature);
      // What stands out is found by halving, which may begin elsewhere.
      const bool searched = one[i].rule == FeatureRule::kInside || one[i].rule == FeatureRule::kInAllowance ||
                            (one[i].rule == FeatureRule::kCutOutToEdge && one[i].value < 0.0);
      RC_ASSERT(std::abs(one[i].value - other[i].value) < (searched ? kStandsOut : 1e-7));
    }
  });
}

TEST_CASE("a feature on the other half has the findings of its mirror image", "[feature-rules]") {
  test::holds_for_all("both halves are judged alike", [] {
    test::Dice dice(static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20)));
    FeaturePanel ground = test::folded_box(110, 70);
    const std::vector<FeatureSpec> features = random_features(dice);
    const auto seen = [&](bool flipped) {
      ground.piece.features.clear();
      for (const FeatureSpec& feature : features) {
        ground.piece.features.push_back(feature);
        if (!flipped) continue;
        FeatureWork& work = ground.piece.features.back().work;
        const auto flip = [](Vec2& p) { p.y = -p.y; };
        std::visit(
            [&](auto& one) {
              if constexpr (requires { one.degrees; }) one.degrees = -one.degrees;
              if constexpr (requires { std::get<FormePlace>(one.at); }) {
                flip(std::get<Vec2>(std::get<FormePlace>(one.at).spot));
              } else if constexpr (requires { one.along.through; }) {
                for (Spot& spot : one.along.through) flip(std::get<Vec2>(spot));
              }
            },
            work);
      }
      const auto placed = ground.place();
      RC_ASSERT(placed.ok());
      std::vector<PlacedFeature> bare = *placed;
      for (PlacedFeature& one : bare) one.texts.clear();
      for (std::size_t f = 0; f < bare.size(); ++f) {  // a frame is made once: on the half that is drawn
        if (std::holds_alternative<PairNumberWork>(features[f].work)) bare[f] = {};
      }
      return look_at_features(ground.graded, ground.piece, bare);
    };
    const FeatureLook drawn = seen(false);
    const FeatureLook other = seen(true);
    RC_ASSERT(drawn.size() == other.size());
    for (std::size_t i = 0; i < drawn.size(); ++i) {
      RC_ASSERT(drawn[i].rule == other[i].rule);
      RC_ASSERT(std::abs(drawn[i].value - other[i].value) < 0.011);
    }
  });
}

namespace {

// Points of a footprint's rim or line, 0.01 mm apart and closer.
std::vector<Vec2> rim_of(const PlacedFeature& feature) {
  std::vector<Vec2> points;
  for (const GradedHole& one : feature.holes) {
    for (int k = 0; k < 2000; ++k)
      points.push_back(one.centre + one.radius * turned({1, 0}, 2.0 * std::numbers::pi * k / 2000.0));
  }
  const auto along = [&](const auto& path) {
    for (std::size_t i = 0; i < path.size(); ++i) {
      const int n = 1 + static_cast<int>(path.segment(i).length() / 0.01);
      for (int k = 0; k <= n; ++k) points.push_back(path.segment(i).point_at(static_cast<double>(k) / n));
    }
  };
  for (const ClosedArcPath& path : feature.cut_outs) along(path);
  for (const GradedLine& line : feature.lines) along(line.path);
  return points;
}

}  // namespace

TEST_CASE("what is left between two features is what a dense look finds", "[feature-rules]") {
  int apart = 0;
  test::holds_for_all(
      "gaps by their definition",
      [&] {
        test::Dice dice(static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20)));
        FeaturePanel ground(test::box_path(300, 200), 0.0, 4);
        const double width = dice(1, 5);
        ground.piece.features = {
            {"slot", slot(0, 0, width + dice(2, 20), width, dice(0, 180)), {}},
            {"other",
             dice(0, 1) < 0.5 ? FeatureWork(hole(dice(-15, 15), dice(-15, 15), dice(1, 6)))
                              : FeatureWork(slot(dice(-15, 15), dice(-15, 15), 9, 3, dice(0, 180))),
             {}}};
        const auto placed = ground.place();
        RC_ASSERT(placed.ok());
        const FeatureLook seen = look_at_features(ground.graded, ground.piece, *placed);
        const bool round = !placed->at(1).holes.empty();
        const std::optional<FeatureMet> gap =
            met(seen, round ? FeatureRule::kHoleToHole : FeatureRule::kCutOutGap, 1);
        RC_ASSERT(gap.has_value());
        const ClosedArcPath& first = placed->at(0).cut_outs.front();
        double nearest = INFINITY;
        bool over = false;
        for (const Vec2 p : rim_of(placed->at(1))) {
          nearest = std::min(nearest, distance_to(first, p));
          over = over || contains(first, p);
        }
        for (const Vec2 p : rim_of(placed->at(0))) {
          over = over ||
                 (round ? distance(p, placed->at(1).holes.front().centre) < placed->at(1).holes.front().radius
                        : contains(placed->at(1).cut_outs.front(), p));
        }
        if (over) {
          RC_ASSERT(gap->value < 1e-3);
        } else {
          ++apart;
          RC_ASSERT(std::abs(gap->value - nearest) < 1e-3);
        }
      },
      60);
  CHECK(apart > 15);
}

TEST_CASE("a nick on a corner of the finished edge is at a corner, wherever the cut line has its own",
          "[feature-rules]") {
  // 10 mm of allowance: beside the net corner the cut corner lies 10 mm further on.
  FeaturePanel ground(test::box_path(60, 40), 10.0, 4);
  const auto off_corner = [&](double along) {
    ground.piece.features = {{"nick", NickWork{"edge 0", {{}, Millimetres(along), false}, {}}, {}}};
    return value(look(ground), FeatureRule::kNickToCorner);
  };
  CHECK(off_corner(0.0) == Approx(0.0).margin(1e-6));
  CHECK(off_corner(2.5) == Approx(2.5));
  CHECK(off_corner(20.0) == Approx(20.0));
}

TEST_CASE("a size that two counts of a row claim is refused", "[feature-rules]") {
  FeaturePanel ground(test::box_path(60, 40), 10.0, 4);
  const auto planned = [&](std::vector<CountChange> counts) {
    RowWork row;
    row.along.edges = {"edge 0"};
    row.spacing.count = 3;
    row.spacing.counts = std::move(counts);
    row.unit = {{{}, {}, Millimetres(2)}};
    ground.piece.features = {{"row", row, {}}};
    return plan_features(ground.style, ground.piece, ground.forme, ground.run);
  };
  CHECK(planned({{"8", "8", 4}}).ok());
  const auto twice = planned({{"8", "8", 4}, {"8", "8", 5}});
  REQUIRE_FALSE(twice.ok());
  CHECK(twice.problem().message.find("overlap") != std::string::npos);
}
