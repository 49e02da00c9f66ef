// The graded outline against a dense evaluation of the exact map on the drawn curves.
#include "grading/grade/piece_shape.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/curve.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

namespace {

FormeSpec irregular_forme() {
  FormeSpec forme = shell_forme();
  forme.rules.push_back(PointRule{"counter top", {0.4, 1.7}, {0.0, 0.0}});
  forme.rules.push_back(PointRule{"throat", {4.0, 2.0}, {0.0, 1.0}});
  return forme;
}

struct Shaped {
  BoundPiece piece = quarter_piece();
  GradeMap map = *make_grade_map(irregular_forme(), kMeasures);
  std::vector<Drivers> probes;
  PieceShape shape;
  Shaped() {
    for (double s : {-3.0, 0.0, 5.0}) {
      for (double w : {-2.0, 0.0, 2.0}) probes.push_back(*map.drivers(english_step(s, w)));
    }
    shape = *make_piece_shape(piece, map, probes, {});
  }
  std::vector<double> nodes(const Drivers& drivers) const { return shape_nodes(shape, drivers); }
};

}  // namespace

TEST_CASE("a graded outline stays within its budget of the exact map, at sizes that were no probe too",
          "[shape]") {
  const Shaped s;
  double worst = 0.0;
  for (double sizes : {-3.0, -1.5, 0.5, 2.0, 3.5, 5.0}) {
    for (double widths : {-2.0, -1.0, 1.0, 2.0}) {
      const Drivers drivers = *s.map.drivers(english_step(sizes, widths));
      const GradedPiece graded = shaped_piece(s.piece, s.shape, s.nodes(drivers), {});
      for (const BoundEdge& edge : s.piece.edges) {
        for (const Curve& curve : edge.chain.curves()) {
          for (int k = 0; k <= 200; ++k) {
            const Vec2 p = s.map.graded(point_at(curve, k / 200.0), drivers);
            worst = std::max(worst, distance_to(graded.net.path, p));
          }
        }
      }
    }
  }
  CHECK(worst > 1e-6);  // a biarc is not the curve: a zero here would mean that nothing was compared
  CHECK(worst < 0.005);
}

TEST_CASE("corners and end tangents are those of the map", "[shape]") {
  const Shaped s;
  const Drivers drivers = *s.map.drivers(english_step(4, -1));
  const std::vector<double> nodes = s.nodes(drivers);
  for (std::size_t e = 0; e < s.piece.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(s.shape.edges[e], nodes);
    const Curve& first = s.piece.edges[e].chain.curves().front();
    CHECK(distance(path.vertices.front().at, s.map.graded(start_of(first), drivers)) < 1e-11);
    constexpr double h = 1e-5;
    const Vec2 ahead = s.map.graded(point_at(first, h), drivers) - s.map.graded(start_of(first), drivers);
    CHECK(std::abs(angle_between(path.segment(0).tangent_at(0.0), ahead)) < 1e-3);
  }
}

TEST_CASE("a spline that bends in a knot bends there in every size, however little it bends", "[shape]") {
  BoundPiece piece = quarter_piece();
  const Vec2 from = start_of(piece.edges[0].chain.curves().front());
  const Vec2 to = end_of(piece.edges[0].chain.curves().back());
  const GradeMap map = *make_grade_map(irregular_forme(), kMeasures);
  const Drivers drivers = *map.drivers(english_step(4, -1));
  const std::vector<Drivers> probes{drivers};
  for (const double degrees : {0.5, 3.0, 20.0, 60.0}) {
    INFO(degrees << " degrees");
    // Straight to the knot and straight on from it: the whole bend lies there.
    const Vec2 half = 0.5 * (to - from);
    const Vec2 knot =
        from + half - 0.5 * norm(half) * std::tan(degrees * 3.14159265358979 / 360.0) * left_of(unit(half));
    std::vector<Vec2> poles{from};
    for (const double t : {1.0 / 3, 2.0 / 3, 1.0}) poles.push_back(lerp(from, knot, t));
    for (const double t : {1.0 / 3, 2.0 / 3, 1.0}) poles.push_back(lerp(knot, to, t));
    piece.edges[0].chain = *make_open_chain(
        {{*make_spline(3, {0, 0, 0, 0, 0.7, 0.7, 0.7, 2, 2, 2, 2}, poles)}}, Millimetres(1e-6));
    const PieceShape shape = *make_piece_shape(piece, map, probes, {});
    const OpenArcPath path = shaped_path(shape.edges[0], shape_nodes(shape, drivers));
    double nearest = INFINITY;
    for (const ArcVertex& vertex : path.vertices)
      nearest = std::min(nearest, distance(vertex.at, map.graded(knot, drivers)));
    CHECK(nearest < 1e-9);
  }
}

TEST_CASE("the base comes back as drawn, arcs as arcs", "[shape]") {
  const Shaped s;
  const GradedPiece base = shaped_piece(s.piece, s.shape, s.nodes(*s.map.drivers(english_step(0, 0))), {});
  double drawn = 0.0;
  for (const BoundEdge& edge : s.piece.edges) drawn += length(edge.chain);
  CHECK(length(base.net.path) == Approx(drawn).epsilon(1e-6));
  CHECK(signed_area(base.net.path) > 0.0);
  CHECK(base.net.edge.size() == base.net.path.size());
  CHECK(base.net.path.size() < 140);
}

TEST_CASE("an edge declared straight is one line, and is refused when it is drawn bent", "[shape]") {
  Shaped s;
  s.piece.edges[1].spec.straight = true;  // drawn with a kink of several millimetres
  CHECK_FALSE(make_piece_shape(s.piece, s.map, s.probes, {}));
}
