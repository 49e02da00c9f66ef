// A held edge keeps its drawn shape in every size, and what is around it still meets it.
#include <catch2/catch.hpp>

#include "geometry/curve/curve.hpp"
#include "grading/grade/piece_shape.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

TEST_CASE("a held edge moves and turns as one", "[held]") {
  BoundPiece piece = quarter_piece();
  constexpr std::size_t kTop = 2;
  FormeSpec forme = shell_forme();
  HeldStretch stretch{"quarter, top", {}};
  for (int k = 0; k <= 20; ++k)
    stretch.points.push_back(point_at(piece.edges[kTop].chain.curves()[0], k / 20.0));
  const auto graded_edges = [&](bool held, double sizes, double widths) {
    forme.held = held ? std::vector<HeldStretch>{stretch} : std::vector<HeldStretch>{};
    piece.edges[kTop].spec.held = held;
    const GradeMap map = *make_grade_map(forme, kMeasures);
    std::vector<Drivers> probes;
    for (const double s : {-3.0, 0.0, 5.0}) probes.push_back(*map.drivers(english_step(s, 0.0)));
    const PieceShape shape = *make_piece_shape(piece, map, probes, {});
    const std::vector<double> nodes = shape_nodes(shape, *map.drivers(english_step(sizes, widths)));
    std::vector<OpenArcPath> edges;
    for (const ShapePath& path : shape.edges) edges.push_back(shaped_path(path, nodes));
    return edges;
  };
  const auto drawn = graded_edges(true, 0, 0);
  for (const double sizes : {-3.0, 2.5, 5.0}) {
    for (const double widths : {-2.0, 1.0}) {
      const auto edges = graded_edges(true, sizes, widths);
      const auto& now = edges[kTop].vertices;
      const auto& was = drawn[kTop].vertices;
      REQUIRE(now.size() == was.size());
      const Vec2 shift = now.front().at - was.front().at;
      CHECK(norm(shift) > 0.5);
      const double turn = angle_between(was.back().at - was.front().at, now.back().at - now.front().at);
      for (std::size_t i = 0; i < now.size(); ++i) {
        CHECK(distance(now[i].at, was.front().at + shift + turned(was[i].at - was.front().at, turn)) < 1e-8);
        CHECK(now[i].bulge == Approx(was[i].bulge).margin(1e-9));
      }
      CHECK(length(edges[kTop]) == Approx(length(drawn[kTop])).epsilon(1e-10));
      for (std::size_t e = 0; e < edges.size(); ++e) {
        const OpenArcPath& next = edges[(e + 1) % edges.size()];
        CHECK(distance(edges[e].vertices.back().at, next.vertices.front().at) < 1e-6);
      }
      // Without the hold the edge does change.
      CHECK(std::abs(length(graded_edges(false, sizes, widths)[kTop]) - length(drawn[kTop])) > 0.1);
    }
  }
}
