// The way back from a cut line to its net line: cut lines made by the program itself, and named cases.
#include "grading/pieces/net/net_recovery.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/curve/biarc.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/unfold.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

std::vector<Millimetres> net_widths(const std::vector<double>& all) {
  std::vector<Millimetres> result;
  for (const double d : all) result.emplace_back(d);
  return result;
}

std::vector<Curve> lines_through(const std::vector<Vec2>& points) {
  std::vector<Curve> curves;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) curves.push_back(Line{points[i], points[i + 1]});
  return curves;
}

// Edges e0, e1, ... from corner c0 to c1, c1 to c2, ...
BoundPiece net_piece_of(const std::vector<std::vector<Curve>>& edges) {
  BoundPiece piece;
  piece.spec.name = "test piece";
  piece.spec.drawn = Drawn::kCut;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const std::string n = std::to_string(e);
    EdgeSpec spec;
    spec.name = "e" + n;
    spec.from = "c" + n;
    spec.to = "c" + std::to_string((e + 1) % edges.size());
    piece.spec.corners.push_back({"c" + n, start_of(edges[e].front())});
    piece.spec.edges.push_back(spec);
    piece.edges.push_back({spec, *make_open_chain({edges[e]}, Millimetres(1e-6))});
  }
  return piece;
}

BoundPiece drawn_polygon(const std::vector<Vec2>& corners) {
  std::vector<std::vector<Curve>> edges;
  for (std::size_t i = 0; i < corners.size(); ++i)
    edges.push_back({Line{corners[i], corners[(i + 1) % corners.size()]}});
  return net_piece_of(edges);
}

std::vector<Vec2> corners_of(const BoundPiece& piece) {
  std::vector<Vec2> corners;
  for (const BoundEdge& edge : piece.edges) corners.push_back(start_of(edge.chain.curves().front()));
  return corners;
}

void check_corners(const BoundPiece& piece, const std::vector<Vec2>& wanted) {
  const std::vector<Vec2> found = corners_of(piece);
  REQUIRE(found.size() == wanted.size());
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    INFO("corner " << i << " at (" << found[i].x << ", " << found[i].y << ")");
    CHECK(distance(found[i], wanted[i]) < 1e-9);
  }
}

Curve as_curve(const ArcSegment& s) {
  if (s.straight()) return Line{s.a, s.b};
  return Arc{s.a, s.b, s.bulge};
}

// The cut line of a graded piece as its drawing would show it: edge by edge. None where an edge does not
// come through in one piece.
std::optional<BoundPiece> drawn_cut(const PieceSpec& spec, const EdgedOutline& cut) {
  const std::size_t n = cut.path.size();
  std::size_t first = n;
  for (std::size_t i = 0; i < n; ++i) {
    if (cut.edge[i] == 0 && cut.edge[(i + n - 1) % n] != 0) first = i;
  }
  if (first == n) return std::nullopt;
  std::vector<std::vector<Curve>> edges;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t i = (first + k) % n;
    if (edges.empty() || cut.edge[i] != cut.edge[(i + n - 1) % n]) edges.emplace_back();
    if (cut.edge[i] + 1u != edges.size()) return std::nullopt;
    edges.back().push_back(as_curve(cut.path.segment(i)));
  }
  if (edges.size() != spec.edges.size()) return std::nullopt;
  BoundPiece piece = net_piece_of(edges);
  for (std::size_t c = 0; c < spec.corners.size(); ++c) piece.spec.corners[c].form = spec.corners[c].form;
  return piece;
}

rc::Gen<std::vector<ArcSegment>> net_outlines(bool arcs, bool hollow) {
  return rc::gen::exec([=] {
    std::vector<Vec2> points;
    const int count = *rc::gen::inRange(3, 9);
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 60) / 100.0) / count;
      const double r = hollow ? *rc::gen::inRange(5000, 9000) / 100.0 : 80.0;
      points.push_back({1.6 * r * std::cos(angle), r * std::sin(angle)});
    }
    std::vector<ArcSegment> segments;
    for (int i = 0; i < count; ++i) {
      const double bulge = arcs ? *rc::gen::element(0.0, 0.0, 0.1, -0.1, 0.2, -0.15) : 0.0;
      segments.push_back(
          {points[static_cast<std::size_t>(i)], points[static_cast<std::size_t>((i + 1) % count)], bulge});
    }
    return segments;
  });
}

// Draws a piece, cuts it by the program, and takes that for the drawing.
struct Rates {
  int asked = 0;
  int refused = 0;
};
void there_and_back(bool arcs, bool hollow, const std::vector<CornerForm>& forms, Rates& rates) {
  const std::vector<ArcSegment> segments = *net_outlines(arcs, hollow);
  std::vector<std::vector<Curve>> edges;
  GradedPiece graded;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    edges.push_back({as_curve(segments[i])});
    graded.net.path.vertices.push_back({segments[i].a, segments[i].bulge});
    graded.net.edge.push_back(static_cast<std::uint16_t>(i));
  }
  SimpleOptions apart;
  apart.touch = Millimetres(1.0);
  RC_PRE(check_simple(graded.net.path, apart).ok() && signed_area(graded.net.path) > 0.0);
  BoundPiece net = net_piece_of(edges);
  std::vector<Millimetres> allowances;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    allowances.emplace_back(*rc::gen::element(0.0, 1.5, 4.0, 10.0, 18.0));
    net.spec.corners[i].form =
        forms[static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(forms.size())))];
  }
  RC_PRE(apply_allowances(net.spec, allowances, graded).ok());
  std::optional<BoundPiece> drawn = drawn_cut(net.spec, graded.cut);
  RC_PRE(drawn.has_value());
  ++rates.asked;
  for (std::size_t i = 0; i < segments.size(); ++i)
    RC_LOG() << "e" << i << " (" << segments[i].a.x << ", " << segments[i].a.y << ") bulge "
             << segments[i].bulge << ", allowance " << allowances[i].value() << ", "
             << name_of(net.spec.corners[i].form) << "\n";
  const Status found = recover_net(*drawn, allowances);
  if (!found) {
    ++rates.refused;
    return;
  }
  for (std::size_t e = 0; e < segments.size(); ++e) {
    const auto& chain = drawn->edges[e].chain;
    RC_ASSERT(distance(start_of(chain.curves().front()), segments[e].a) < 1e-6);
    const OpenArcPath path = arc_fit(chain, Millimetres(1e-4));
    for (const double t : {0.1, 0.5, 0.9}) RC_ASSERT(distance_to(path, segments[e].point_at(t)) < 1e-6);
  }
}

}  // namespace

TEST_CASE("the net line of a drawn cut line is the one it was made from", "[net]") {
  const std::vector<CornerForm> mitre{CornerForm::kMitre};
  const std::vector<CornerForm> all(std::begin(kCornerForms), std::end(kCornerForms));
  Rates rates;
  SECTION("convex, mitred") {
    test::holds_for_all("convex, mitred", [&] { there_and_back(false, false, mitre, rates); });
  }
  SECTION("hollow, mitred") {
    test::holds_for_all("hollow, mitred", [&] { there_and_back(false, true, mitre, rates); });
  }
  SECTION("arcs, mitred") {
    test::holds_for_all("arcs, mitred", [&] { there_and_back(true, true, mitre, rates); });
  }
  SECTION("every form of corner") {
    test::holds_for_all("every form", [&] { there_and_back(false, true, all, rates); });
  }
  SECTION("arcs, every form of corner") {
    test::holds_for_all("arcs, every form", [&] { there_and_back(true, true, all, rates); });
  }
  // What is wrong is never taken; what cannot be told any more (an edge of which corners have left nothing)
  // is refused, and that is rare.
  CHECK(100 * rates.refused <= rates.asked);
}

TEST_CASE("a trapezium drawn cut with one wide and three narrow allowances", "[net]") {
  BoundPiece piece =
      drawn_polygon({{121.78363, -18.0}, {178.21637, -18.0}, {205.549704, 64.0}, {94.450296, 64.0}});
  const Status found = recover_net(piece, net_widths({18, 4, 4, 4}));
  INFO((found ? std::string() : to_text(found.problem())));
  REQUIRE(found.ok());
  const std::vector<Vec2> wanted{{120, 0}, {180, 0}, {200, 60}, {100, 60}};
  for (std::size_t i = 0; i < 4; ++i)
    CHECK(distance(corners_of(piece)[i], wanted[i]) < 1e-5);  // as it is drawn
}

TEST_CASE("a slanted edge beside one without an allowance comes back to its corner", "[net]") {
  // The net (100, 0) (200, 0) (200, 50) (130, 50), 8 mm on the slanted side.
  const double run = 8.0 * std::hypot(30.0, 50.0) / 50.0;
  BoundPiece piece = drawn_polygon({{100 - run, 0}, {200, 0}, {200, 50}, {130 - run, 50}});
  REQUIRE(recover_net(piece, net_widths({0, 0, 0, 8})).ok());
  check_corners(piece, {{100, 0}, {200, 0}, {200, 50}, {130, 50}});
}

TEST_CASE("corner parts of a drawn cut line belong to no edge", "[net]") {
  // A square of 100 mm with 10 mm all round, its corner at (100, 100) drawn in every form.
  const auto with_corner = [](const std::vector<Curve>& before, std::vector<Curve> after, CornerForm form) {
    std::vector<Curve> side{Line{{110, -10}, start_of(before.front())}};
    side.insert(side.end(), before.begin(), before.end());
    after.push_back(Line{end_of(after.back()), {-10, 110}});
    BoundPiece piece =
        net_piece_of({{Line{{-10, -10}, {110, -10}}}, side, after, {Line{{-10, 110}, {-10, -10}}}});
    piece.spec.corners[2].form = form;
    const Status found = recover_net(piece, net_widths({10, 10, 10, 10}));
    INFO((found ? std::string() : to_text(found.problem())));
    REQUIRE(found.ok());
    check_corners(piece, {{0, 0}, {100, 0}, {100, 100}, {0, 100}});
    for (const BoundEdge& edge : piece.edges) CHECK(length(edge.chain) == Approx(100.0));
  };
  const double cut = 100.0 + 10.0 * (std::sqrt(2.0) - 1.0);
  const Curve across = Line{{110, cut}, {cut, 110}};
  const Curve on = Line{{110, 100}, {110, cut}};
  SECTION("square, named at its end") {
    with_corner({on, across}, {Line{{cut, 110}, {100, 110}}}, CornerForm::kSquare);
  }
  SECTION("square, named at its start") {
    with_corner({on}, {across, Line{{cut, 110}, {100, 110}}}, CornerForm::kSquare);
  }
  SECTION("round") {
    with_corner({Line{{110, 50}, {110, 100}}}, {Arc{{110, 100}, {100, 110}, std::tan(std::numbers::pi / 8)}},
                CornerForm::kRound);
  }
  SECTION("step, named in its middle") {
    with_corner({Line{{110, 50}, {110, 100}}, Line{{110, 100}, {100, 100}}}, {Line{{100, 100}, {100, 110}}},
                CornerForm::kStep);
  }
}

TEST_CASE("a piece cut double is recovered up to its fold", "[net]") {
  // Half a box of 40 by 60 on a fold along the left side, 8 mm round the three others.
  const std::vector<Millimetres> allowances = net_widths({8, 8, 8, 0});
  SECTION("square to the fold") {
    BoundPiece piece = drawn_polygon({{0, -8}, {48, -8}, {48, 68}, {0, 68}});
    piece.spec.fold = "e3";
    REQUIRE(recover_net(piece, allowances).ok());
    check_corners(piece, {{0, 0}, {40, 0}, {40, 60}, {0, 60}});
  }
  SECTION("with a point on the fold") {
    // The top rises to 70 at the fold: its cut line meets the fold at the mitre of the whole.
    const double up = 8.0 * std::hypot(40.0, 10.0) / 40.0;
    const double side = 60.0 + up - 2.0;  // where that line is 8 mm out
    BoundPiece piece = drawn_polygon({{0, -8}, {48, -8}, {48, side}, {0, 70 + up}});
    piece.spec.fold = "e3";
    const Status found = recover_net(piece, allowances);
    INFO((found ? std::string() : to_text(found.problem())));
    REQUIRE(found.ok());
    check_corners(piece, {{0, 0}, {40, 0}, {40, 60}, {0, 70}});
  }
  SECTION("with a round point on the fold") {
    // The same, its point on the fold drawn as half of a round corner, about (0, 70).
    const double slope = std::atan2(10.0, 40.0);
    const Vec2 leaves{8.0 * std::sin(slope), 70.0 + 8.0 * std::cos(slope)};
    const double up = 8.0 * std::hypot(40.0, 10.0) / 40.0;
    const Vec2 shoulder{48, 60.0 + up - 2.0};
    BoundPiece piece = net_piece_of({{Line{{0, -8}, {48, -8}}},
                                     {Line{{48, -8}, shoulder}},
                                     {Line{shoulder, leaves}, Arc{leaves, {0, 78}, std::tan(0.25 * slope)}},
                                     {Line{{0, 78}, {0, -8}}}});
    piece.spec.fold = "e3";
    piece.spec.corners[3].form = CornerForm::kRound;
    const Status found = recover_net(piece, allowances);
    INFO((found ? std::string() : to_text(found.problem())));
    REQUIRE(found.ok());
    check_corners(piece, {{0, 0}, {40, 0}, {40, 60}, {0, 70}});
  }
  SECTION("with a point on the fold that is cut across") {
    // As much as is cut off turns on the whole corner, which the half alone does not show. Here the point is
    // steep, and the line across lies 8 mm from (0, 100), square to the fold.
    const double up = 8.0 * std::hypot(40.0, 40.0) / 40.0;
    const Vec2 shoulder{48, 60.0 + up - 8.0};
    const Vec2 leaves{up - 8.0, 108};
    BoundPiece piece = net_piece_of({{Line{{0, -8}, {48, -8}}},
                                     {Line{{48, -8}, shoulder}},
                                     {Line{shoulder, leaves}, Line{leaves, {0, 108}}},
                                     {Line{{0, 108}, {0, -8}}}});
    piece.spec.fold = "e3";
    piece.spec.corners[3].form = CornerForm::kSquare;
    const Status found = recover_net(piece, allowances);
    INFO((found ? std::string() : to_text(found.problem())));
    REQUIRE(found.ok());
    check_corners(piece, {{0, 0}, {40, 0}, {40, 60}, {0, 100}});
    CHECK(piece.edges[2].chain.curves().size() == 1);  // nothing is left of the line across
  }
  SECTION("with a point on the fold that is stepped") {
    // Each half ends on the other one's own line, run on through (0, 100), which it meets square: how the
    // half that is not drawn runs tells where the step stands.
    const double up = 8.0 * std::hypot(40.0, 40.0) / 40.0;
    const Vec2 shoulder{48, 60.0 + up - 8.0};
    const double aside = 8.0 * std::sqrt(0.5);
    const Vec2 steps{aside, 100.0 + aside};
    BoundPiece piece = net_piece_of({{Line{{0, -8}, {48, -8}}},
                                     {Line{{48, -8}, shoulder}},
                                     {Line{shoulder, steps}, Line{steps, {0, 100}}},
                                     {Line{{0, 100}, {0, -8}}}});
    piece.spec.fold = "e3";
    piece.spec.corners[3].form = CornerForm::kStep;
    const Status found = recover_net(piece, allowances);
    INFO((found ? std::string() : to_text(found.problem())));
    REQUIRE(found.ok());
    check_corners(piece, {{0, 0}, {40, 0}, {40, 60}, {0, 100}});
    CHECK(piece.edges[2].chain.curves().size() == 1);
  }
}

TEST_CASE("a nick drawn on the cut line moves to the net line", "[net]") {
  BoundPiece piece = drawn_polygon({{-10, -10}, {110, -10}, {110, 60}, {-10, 60}});
  piece.nicks.push_back({{30, -10}, 0, 0, 40.0 / 120.0, {}});
  REQUIRE(recover_net(piece, net_widths({10, 10, 10, 10})).ok());
  CHECK(distance(piece.nicks[0].at, {30, 0}) < 1e-9);
  CHECK(piece.nicks[0].t == Approx(0.3));
  SECTION("unless it stands beside a corner") {
    BoundPiece beside = drawn_polygon({{-10, -10}, {110, -10}, {110, 60}, {-10, 60}});
    beside.nicks.push_back({{107, -10}, 0, 0, 117.0 / 120.0, {}});
    const Status found = recover_net(beside, net_widths({10, 10, 10, 10}));
    REQUIRE_FALSE(found.ok());
    CHECK_THAT(to_text(found.problem()), Catch::Contains("nick") && Catch::Contains("e0"));
  }
}

TEST_CASE("where there is no net line the edge, the allowance and what would do are named", "[net]") {
  SECTION("an edge used up") {
    // The bevel is 2.83 mm long and shrinks by 2 tan(22.5 degrees) = 0.83 mm a millimetre of allowance.
    const auto bevelled = [](double allowance) {
      BoundPiece piece = drawn_polygon({{0, 0}, {100, 0}, {100, 48}, {98, 50}, {0, 50}});
      return recover_net(piece, std::vector<Millimetres>(5, Millimetres(allowance)));
    };
    CHECK(bevelled(3.3));
    const Status lost = bevelled(3.5);
    REQUIRE_FALSE(lost.ok());
    CHECK_THAT(to_text(lost.problem()), Catch::Contains("e2") && Catch::Contains("nothing of the net line"));
    CHECK(*lost.problem().limit < *lost.problem().value);
  }
  SECTION("allowances wider than the piece") {
    BoundPiece piece = drawn_polygon({{0, 0}, {100, 0}, {100, 20}, {0, 20}});
    const Status lost = recover_net(piece, net_widths({12, 0, 12, 0}));
    REQUIRE_FALSE(lost.ok());
    INFO(to_text(lost.problem()));
    CHECK(lost.problem().value == 12.0);
    CHECK(*lost.problem().limit == Approx(8.0).margin(0.02));
  }
  SECTION("a curve tighter than its allowance") {
    const Curve bowl = *make_spline(2, {0, 0, 0, 1, 1, 1}, {{-10, 10}, {0, -10}, {10, 10}});
    BoundPiece piece = net_piece_of({{bowl}, {Line{{10, 10}, {-10, 10}}}});
    const Status lost = recover_net(piece, net_widths({6, 0}));
    REQUIRE_FALSE(lost.ok());
    CHECK_THAT(to_text(lost.problem()), Catch::Contains("e0") && Catch::Contains("radius of 5.0"));
  }
  SECTION("a corner that is drawn in no form") {
    BoundPiece piece =
        net_piece_of({lines_through({{-10, -10}, {95, -10}, {110, 3}}), lines_through({{110, 3}, {110, 60}}),
                      lines_through({{110, 60}, {-10, 60}}), lines_through({{-10, 60}, {-10, -10}})});
    piece.spec.corners[1].form = CornerForm::kRound;
    const Status lost = recover_net(piece, net_widths({10, 10, 10, 10}));
    REQUIRE_FALSE(lost.ok());
    INFO(to_text(lost.problem()));
    CHECK(*lost.problem().value > *lost.problem().limit);
    CHECK_THAT(to_text(lost.problem()), Catch::Contains("forms"));
  }
}
