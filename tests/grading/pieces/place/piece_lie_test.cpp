// A piece drawn anywhere on its sheet, with the place it lies in stated, is the piece drawn in its place.
#include "grading/pieces/place/piece_lie.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "grading/grade/piece_shape.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/place/off_forme.hpp"
#include "tests/support/elsewhere.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

namespace {

DrawnFrom wing_from(const std::string& layer) {
  return {"LINE", layer, "WING", 1, "", 7};
}

const Vec2 kA{20, 8};
const Vec2 kB{170, 6};
const Vec2 kC{150, 105};
const Vec2 kD{30, 100};

// An outline of every kind of curve with one of everything in it, moved.
Drawing wing_drawing(const Elsewhere& at) {
  const auto spline = [&](std::vector<Vec2> poles) {
    for (Vec2& pole : poles) pole = at(pole);
    return *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, std::move(poles));
  };
  const double bulge = at.over ? -0.3 : 0.3;
  Drawing drawing;
  drawing.file = "wing.dxf";
  drawing.paths = {
      {{spline({kA, {60, -4}, {120, 14}, kB}), Line{at(kB), at({166, 50})}, Arc{at({166, 50}), at(kC), bulge},
        Line{at(kC), at(kD)}, Line{at(kD), at(kA)}},
       true,
       0,
       0,
       wing_from("1")},
      {{Line{at({40, 20}), at({120, 30})}}, false, 0, 0, wing_from("14")},
      {{Line{at({40, 50}), at({90, 60})}}, false, 0, 0, wing_from("7")},
      {{Line{at(kC + 0.5 * (kD - kC) + Vec2{0, 1}), at(kC + 0.5 * (kD - kC) - Vec2{0, 3})}},
       false,
       0,
       0,
       wing_from("4")},
      {{Line{at({60, 70}), at({70, 70})}, Line{at({70, 70}), at({65, 80})}, Line{at({65, 80}), at({60, 70})}},
       true,
       0,
       0,
       wing_from("11")}};
  drawing.circles = {{at({100, 60}), 2.5, wing_from("13")}};
  drawing.points = {{at({110, 60}), wing_from("13")}};
  if (!at.over) drawing.texts = {{at({80, 40}), 3.0, Radians(at.angle(0.2)), "wing", wing_from("15")}};
  return drawing;
}

// As drawn elsewhere: what it says in coordinates is where it is drawn.
PieceSpec wing_piece(const Elsewhere& at) {
  PieceSpec spec;
  spec.name = "wing";
  spec.forme = "shell";
  spec.source = {"d", "WING", {}, {}};
  spec.corners = {{"a", at(kA)}, {"b", at(kB)}, {"c", at(kC)}, {"d", at(kD)}};
  spec.edges = {{"bottom", "a", "b"}, {"front", "b", "c"}, {"top", "c", "d"}, {"back", "d", "a"}};
  const double degrees = at.angle(0.3) * 180.0 / std::numbers::pi;
  const Vec2 by = at({3, 1}) - at({0, 0});
  const double side = at.over ? -1.0 : 1.0;
  spec.features = {
      {"hole", HoleWork{FormePlace{at({50, 40}), by}, Millimetres(2)}, {}},
      {"named", HoleWork{FormePlace{"throat", {1, 2}}, Millimetres(2)}, {}},
      {"slot", SlotWork{FormePlace{at({90, 45}), {}}, Millimetres(12), Millimetres(3), degrees}, {}},
      {"row",
       RowWork{RowKind::kPerforation,
               {{}, {at({40, 30}), at({120, 35})}, Millimetres(side * 4.0), {}, {}},
               {5, {}, {}, RowAnchor::kMiddle, false},
               {{Millimetres(1), Millimetres(side * 2.0), Millimetres(1)}}},
       {}},
      {"lines",
       LineWork{LineKind::kStitch,
                {{}, {at({40, 70}), at({120, 75})}, Millimetres(side * 1.0), {}, {}},
                2,
                Millimetres(side * 3.0)},
       {}}};
  return spec;
}

FormeSpec wing_forme() {
  FormeSpec forme = shell_forme();
  for (const auto& [name, at] : {std::pair{"wing a", kA}, {"wing b", kB}, {"wing c", kC}, {"wing d", kD}})
    forme.points.push_back({name, at});
  return forme;
}

BoundPiece bound(const Elsewhere& at, const std::optional<LiesSpec>& lies) {
  PieceSpec spec = wing_piece(at);
  spec.lies = lies;
  const Result<BoundPiece> piece =
      bind_piece(spec, wing_forme(), pattern_drawing(wing_drawing(at), DrawingSpec{"d", "wing.dxf", "", {}}));
  if (!piece) FAIL(to_text(piece.problem()));
  return *piece;
}

double lie_apart(const OpenChain& a, const OpenChain& b) {
  if (a.curves().size() != b.curves().size()) return INFINITY;
  double worst = 0.0;
  for (std::size_t c = 0; c < a.curves().size(); ++c) {
    for (int k = 0; k <= 8; ++k)
      worst = std::max(worst, distance(point_at(a.curves()[c], k / 8.0), point_at(b.curves()[c], k / 8.0)));
  }
  return worst;
}

// Like things of two lists, taken in order; infinite where they are not as many.
template <class T, class Distance>
double lie_apart(const std::vector<T>& a, const std::vector<T>& b, Distance between) {
  if (a.size() != b.size()) return INFINITY;
  double worst = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) worst = std::max(worst, between(a[i], b[i]));
  return worst;
}

double lie_apart(const FeatureSpec& a, const FeatureSpec& b) {
  const auto spots = [](const Spot& one, const Spot& other) {
    if (const auto* name = std::get_if<std::string>(&one))
      return *name == std::get<std::string>(other) ? 0.0 : INFINITY;
    return distance(std::get<Vec2>(one), std::get<Vec2>(other));
  };
  const auto places = [&](const FeaturePlace& one, const FeaturePlace& other) {
    const auto& p = std::get<FormePlace>(one);
    const auto& q = std::get<FormePlace>(other);
    return spots(p.spot, q.spot) + distance(p.by, q.by);
  };
  const auto courses = [&](const CourseSpec& one, const CourseSpec& other) {
    return lie_apart(one.through, other.through, spots) + std::abs(one.inset.value() - other.inset.value());
  };
  if (const auto* hole = std::get_if<HoleWork>(&a.work))
    return places(hole->at, std::get<HoleWork>(b.work).at);
  if (const auto* slot = std::get_if<SlotWork>(&a.work)) {
    const auto& other = std::get<SlotWork>(b.work);
    return places(slot->at, other.at) + std::abs(std::remainder(slot->degrees - other.degrees, 360.0));
  }
  if (const auto* row = std::get_if<RowWork>(&a.work)) {
    const auto& other = std::get<RowWork>(b.work);
    return courses(row->along, other.along) +
           std::abs(row->unit[0].across.value() - other.unit[0].across.value());
  }
  const auto& line = std::get<LineWork>(a.work);
  const auto& other = std::get<LineWork>(b.work);
  return courses(line.along, other.along) + std::abs(line.row_gap.value() - other.row_gap.value());
}

double lie_apart(const BoundPiece& a, const BoundPiece& b) {
  double worst = 0.0;
  const auto take = [&](double off) { worst = std::max(worst, off); };
  take(lie_apart(a.edges, b.edges,
                 [](const BoundEdge& x, const BoundEdge& y) { return lie_apart(x.chain, y.chain); }));
  take(lie_apart(a.lines, b.lines,
                 [](const BoundLine& x, const BoundLine& y) { return lie_apart(x.chain, y.chain); }));
  take(lie_apart(a.holes, b.holes, [](const BoundHole& x, const BoundHole& y) {
    return distance(x.centre, y.centre) + std::abs(x.radius - y.radius);
  }));
  take(lie_apart(a.nicks, b.nicks, [](const BoundNick& x, const BoundNick& y) {
    return x.edge == y.edge ? distance(x.at, y.at) : INFINITY;
  }));
  take(lie_apart(a.texts, b.texts, [](const BoundText& x, const BoundText& y) {
    return distance(x.at, y.at) +
           std::abs(std::remainder(x.angle.value() - y.angle.value(), 2 * std::numbers::pi));
  }));
  // A cut-out may start at another of its corners.
  take(lie_apart(a.cut_outs, b.cut_outs, [](const BoundCutOut& x, const BoundCutOut& y) {
    return std::max(distance(bounds(x.outline).low, bounds(y.outline).low),
                    distance(bounds(x.outline).high, bounds(y.outline).high));
  }));
  take(a.grain && b.grain ? distance(a.grain->from, b.grain->from) + distance(a.grain->to, b.grain->to)
                          : INFINITY);
  take(lie_apart(a.spec.features, b.spec.features,
                 [](const FeatureSpec& x, const FeatureSpec& y) { return lie_apart(x, y); }));
  return worst;
}

LiesSpec by_corners(bool mirrored, std::vector<std::string> corners = {"a", "b", "c", "d"}) {
  LiesSpec lies;
  for (const std::string& corner : corners) lies.meets.push_back(PointMeeting{corner, "wing " + corner});
  lies.mirrored = mirrored;
  return lies;
}

Elsewhere drawn_elsewhere() {
  return {*rc::gen::inRange(-31416, 31416) / 1e4,
          {*rc::gen::inRange(-40000, 40000) / 10.0, *rc::gen::inRange(-40000, 40000) / 10.0},
          *rc::gen::arbitrary<bool>()};
}

Problem refusal(const LiesSpec& lies, const Elsewhere& at = {0.4, {300, 20}, false}) {
  PieceSpec spec = wing_piece(at);
  spec.lies = lies;
  const Result<BoundPiece> piece =
      bind_piece(spec, wing_forme(), pattern_drawing(wing_drawing(at), DrawingSpec{"d", "wing.dxf", "", {}}));
  REQUIRE_FALSE(piece.ok());
  return piece.problem();
}

}  // namespace

TEST_CASE("a piece drawn anywhere and laid where it belongs is the piece drawn in its place",
          "[lies][random]") {
  const BoundPiece in_place = bound({}, {});
  test::holds_for_all("laid by two corners or more", [&] {
    const Elsewhere at = drawn_elsewhere();
    BoundPiece in_place_here = in_place;
    if (at.over) in_place_here.texts.clear();  // a mirrored text is nobody's
    const auto corners =
        *rc::gen::element(std::vector<std::string>{"a", "c"}, std::vector<std::string>{"b", "d", "a"},
                          std::vector<std::string>{"a", "b", "c", "d"});
    const BoundPiece laid = bound(at, by_corners(at.over, corners));
    RC_ASSERT(laid.lie.has_value());
    RC_ASSERT(laid.lie->worst < 1e-9);
    RC_ASSERT(laid.lie->mirrored == at.over);
    // Turned back; turned over in the other axis it is half a turn more.
    const double turned = at.turn * 180.0 / std::acos(-1.0);
    const double expected = at.over ? 180.0 + turned : -turned;
    RC_ASSERT(std::abs(std::remainder(laid.lie->turn - expected, 360.0)) < 1e-6);
    RC_ASSERT(lie_apart(laid, in_place_here) < 1e-9);
  });
}

TEST_CASE("a piece laid by an edge of another lies on it, whichever way it is drawn", "[lies][random]") {
  const BoundPiece mate = bound({}, {});
  test::holds_for_all("laid by an edge", [&] {
    const Elsewhere at = drawn_elsewhere();
    PieceSpec spec = wing_piece(at);
    spec.name = "twin";
    spec.lies = LiesSpec{};
    spec.lies->meets = {EdgeMeeting{*rc::gen::element<std::string>("bottom", "front"), "wing", ""}};
    std::get<EdgeMeeting>(spec.lies->meets[0]).on = std::get<EdgeMeeting>(spec.lies->meets[0]).edge;
    spec.lies->mirrored = at.over;
    const Result<BoundPiece> laid = bind_piece(
        spec, wing_forme(), pattern_drawing(wing_drawing(at), DrawingSpec{"d", "wing.dxf", "", {}}),
        {{"wing", &mate}});
    RC_ASSERT(laid.ok());
    RC_ASSERT(laid->lie->worst < 1e-8);
    RC_ASSERT(lie_apart(laid->edges, mate.edges, [](const BoundEdge& x, const BoundEdge& y) {
                return lie_apart(x.chain, y.chain);
              }) < 1e-8);
  });
}

TEST_CASE("a piece laid where it belongs grades as one drawn there", "[lies][shape]") {
  const GradeMap map = *make_grade_map(wing_forme(), kMeasures);
  const std::vector<Drivers> probes{*map.drivers(english_step(-3, -2)), *map.drivers(english_step(5, 2))};
  const Elsewhere at{2.1, {-700, 412.5}, true};
  BoundPiece one = bound({}, {});
  BoundPiece other = bound(at, by_corners(true));
  one.texts.clear();
  const PieceShape a = *make_piece_shape(one, map, probes, {});
  const PieceShape b = *make_piece_shape(other, map, probes, {});
  REQUIRE(a.base.size() == b.base.size());
  const auto farthest = [](const std::vector<double>& x, const std::vector<double>& y) {
    double worst = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) worst = std::max(worst, std::abs(x[i] - y[i]));
    return worst;
  };
  CHECK(farthest(a.base, b.base) < 1e-9);
  CHECK(farthest(shape_nodes(a, probes[1]), shape_nodes(b, probes[1])) < 1e-9);
  // Where it is drawn it would be graded as what lies there is.
  const PieceShape there = *make_piece_shape(bound({2.1, {-700, 412.5}, false}, {}), map, probes, {});
  CHECK(farthest(shape_nodes(there, probes[1]), there.base) >
        1.0 + farthest(shape_nodes(a, probes[1]), a.base));
}

TEST_CASE("a piece drawn cut lies by the corners and edges of its net line", "[lies]") {
  // A box of 100 x 60 with another allowance at each edge, drawn as its cut line.
  const std::vector<Vec2> net{{50, 10}, {150, 10}, {150, 70}, {50, 70}};
  const std::vector<Vec2> cut{{42, 6}, {156, 6}, {156, 80}, {42, 80}};
  const std::vector<Millimetres> allowances{Millimetres(4), Millimetres(6), Millimetres(10), Millimetres(8)};
  FormeSpec forme = shell_forme();
  for (std::size_t i = 0; i < 4; ++i) forme.points.push_back({fmt::format("n{}", i), net[i]});
  for (const Elsewhere& at : {Elsewhere{0.8, {500, 30}, false}, Elsewhere{-2.0, {-90, 400}, true}}) {
    Drawing drawing;
    drawing.file = "box.dxf";
    DrawnPath path{{}, true, 0, 0, wing_from("1")};
    for (std::size_t i = 0; i < 4; ++i) path.curves.push_back(Line{at(cut[i]), at(cut[(i + 1) % 4])});
    drawing.paths = {path};
    PieceSpec spec;
    spec.name = "box";
    spec.forme = "shell";
    spec.source = {"d", "WING", {}, {}};
    spec.drawn = Drawn::kCut;
    spec.lies.emplace().mirrored = at.over;
    for (std::size_t i = 0; i < 4; ++i) {
      spec.corners.push_back({fmt::format("c{}", i), at(cut[i])});
      spec.edges.push_back({fmt::format("e{}", i), fmt::format("c{}", i), fmt::format("c{}", (i + 1) % 4),
                            Treatment::kLap, allowances[i]});
      spec.lies->meets.push_back(PointMeeting{fmt::format("c{}", i), fmt::format("n{}", i)});
    }
    const PatternDrawing pattern = pattern_drawing(drawing, DrawingSpec{"d", "box.dxf", "", {}});
    const Result<BoundPiece> laid = bind_piece(spec, forme, pattern, {}, allowances);
    if (!laid) FAIL(to_text(laid.problem()));
    CHECK(laid->lie->worst < 1e-6);
    for (std::size_t i = 0; i < 4; ++i)
      CHECK(distance(start_of(laid->edges[i].chain.curves().front()), cut[i]) < 1e-6);
    // By the cut line's own corners it would not fit.
    CHECK_FALSE(bind_piece(spec, forme, pattern, {}).ok());
  }
}

TEST_CASE("what does not fit where it is to lie is refused with what it misses by", "[lies]") {
  // A corner that is to meet a point 3 mm off: least squares, and the rest is told.
  LiesSpec lies = by_corners(false);
  std::get<PointMeeting>(lies.meets[1]).on = kB + Vec2{3, 0};
  const Problem off = refusal(lies);
  CHECK(off.place.pointer == "/lies/meets");
  CHECK(*off.value > 1.0);
  CHECK(*off.value < 3.0);
  CHECK(*off.limit == 0.5);
  CHECK(off.message.find("the corner b") != std::string::npos);
  LiesSpec nearly = lies;
  std::get<PointMeeting>(nearly.meets[1]).on = kB + Vec2{1, 0};
  CHECK(*refusal(nearly).value == Approx(*off.value / 3.0).epsilon(0.05));
  lies.limit = Millimetres(3.0);
  CHECK(bound({0.4, {300, 20}, false}, lies).lie->worst == Approx(*off.value).epsilon(1e-9));
  // The other hand: three corners tell.
  CHECK(refusal(by_corners(true)).message.find("not mirrored it meets within 0.000 mm") != std::string::npos);
  const Problem over = refusal(by_corners(false), {0.4, {300, 20}, true});
  CHECK(over.message.find("with \"mirrored\": true it meets within 0.000 mm") != std::string::npos);
  // Coordinates that are nowhere near the outline, and places that tell no turn.
  LiesSpec beside = by_corners(false);
  beside.meets.push_back(PointMeeting{Vec2{0, 0}, "throat"});
  CHECK(refusal(beside).place.pointer == "/lies/meets/4");
  LiesSpec close;
  close.meets = {PointMeeting{"a", "wing a"}, PointMeeting{"a", "wing a"}};
  CHECK(refusal(close).message.find("so close together") != std::string::npos);
}

TEST_CASE("places evenly along a chain go from one end to the other, the same ones either way", "[lies]") {
  const std::vector<Curve> curves{Line{{0, 0}, {30, 0}},
                                  Arc{{30, 0}, {50, 20}, std::tan(std::numbers::pi / 8)},
                                  Line{{50, 20}, {50, 95}}};
  const OpenChain chain = *make_open_chain({curves}, Millimetres(1e-6));
  const std::vector<Vec2> places = evenly_along(chain, 9);
  REQUIRE(places.size() == 9);
  CHECK(distance(places.front(), {0, 0}) < 1e-9);
  CHECK(distance(places.back(), {50, 95}) < 1e-9);
  // 30 + 10 pi + 75 mm in eight steps: by hand on the lines.
  const double step = (105.0 + 10.0 * std::numbers::pi) / 8.0;
  CHECK(distance(places[1], {step, 0}) < 1e-9);
  CHECK(distance(places[6], {50, 95 - 2 * step}) < 1e-6);
}

TEST_CASE("a place read to a tenth is taken as the vertex it means", "[lies]") {
  const Elsewhere at{0.7, {120, -400}, false};
  LiesSpec lies;
  for (const auto& [drawn, on] : {std::pair{kA, "wing a"}, {kC, "wing c"}})
    lies.meets.push_back(PointMeeting{at(drawn) + Vec2{0.05, -0.04}, on});
  CHECK(lie_apart(bound(at, lies), bound({}, {})) < 1e-9);
}

namespace {

StyleSpec two_pieces(const PieceSpec& other) {
  StyleSpec style;
  style.formes = {wing_forme()};
  style.pieces = {wing_piece({}), other};
  return style;
}

OffForme off_by(const StyleSpec& style, const std::vector<Elsewhere>& at) {
  std::vector<BoundPiece> pieces;
  for (std::size_t i = 0; i < at.size(); ++i) {
    BoundPiece piece = bound(at[i], {});
    piece.spec = style.pieces[i];
    pieces.push_back(std::move(piece));
  }
  return off_forme(style, pieces);
}

bool nothing(const OffForme& found) {
  return found.problems.empty() && found.notes.empty();
}

}  // namespace

TEST_CASE("a piece drawn beside its forme is refused, with the place that fits where its edges tell",
          "[lies][off]") {
  const Elsewhere beside{0.3, {40, 260}, false};
  PieceSpec twin = wing_piece(beside);
  twin.name = "twin";
  StyleSpec style = two_pieces(twin);
  const std::vector<Problem> found = off_by(style, {{}, beside}).problems;
  REQUIRE(found.size() == 1);
  CHECK(found[0].place.pointer == "/pieces/1");
  CHECK(*found[0].value < 0.05);
  // Every edge is the mate's: the one that fits best is proposed, and it is one of them.
  CHECK(found[0].message.find("\"on\":{\"piece\":\"wing\",\"edge\":\"") != std::string::npos);
  CHECK(found[0].message.find("within 0.000 mm") != std::string::npos);
  // Corners named as the forme's points are.
  style.formes[0].points.push_back({"a", kA});
  style.formes[0].points.push_back({"c", kC});
  CHECK(off_by(style, {{}, beside})
            .problems[0]
            .message.find(R"({"corner":"a","on":"a"},{"corner":"c","on":"c"})") != std::string::npos);
  // Said to be its place, or in it.
  style.pieces[1].lies.emplace().as_drawn = true;
  CHECK(nothing(off_by(style, {{}, beside})));
  style.pieces[1].lies.reset();
  CHECK(nothing(off_by(style, {{}, {0.0, {2, -3}, false}})));
}

TEST_CASE("a piece drawn on its forme, but not where it is sewn, is refused with the place that fits",
          "[lies][off]") {
  const Elsewhere aside{0.1, {12, 7}, false};
  PieceSpec twin = wing_piece(aside);
  twin.name = "twin";
  StyleSpec style = two_pieces(twin);
  CHECK(nothing(off_by(style, {{}, aside})));  // nothing says that they meet
  style.seams = {{"join", {"wing", "front"}, {"twin", "front"}}};
  const std::vector<Problem> found = off_by(style, {{}, aside}).problems;
  REQUIRE(found.size() == 1);
  CHECK(found[0].place.pointer == "/pieces/1");
  CHECK(
      found[0].message.find(R"("lies": {"meets":[{"edge":"front","on":{"piece":"wing","edge":"front"}}]})") !=
      std::string::npos);
  // Another seam that does lie together says where the piece is; so does a corner on a point, twice.
  style.seams.push_back({"other", {"wing", "top"}, {"twin", "top"}});
  CHECK(nothing(off_by(style, {{}, {0.0, {0.3, 0.2}, false}})));
  style.pieces[0].corners[0].at = "wing a";
  style.pieces[0].corners[1].at = "wing b";
  style.pieces[1].corners[0].at = "wing a";
  style.pieces[1].corners[1].at = "wing b";
  CHECK(nothing(off_by(style, {{}, aside})));
}

TEST_CASE("of a piece drawn ever farther off its forme it is told first, then it is refused", "[lies][off]") {
  StyleSpec style = two_pieces(wing_piece({}));
  style.pieces[1].name = "twin";
  int before = 0;
  int seen = 0;
  for (double y = 0.0; y < 400.0; y += 10.0) {
    const OffForme found = off_by(style, {{}, {0.0, {0, y}, false}});
    const int now = !found.problems.empty() ? 2 : !found.notes.empty() ? 1 : 0;
    CHECK(now >= before);
    seen |= 1 << now;
    before = now;
  }
  CHECK(seen == 7);
}
