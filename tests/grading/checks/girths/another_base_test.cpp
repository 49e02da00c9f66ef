// What the figure for another base says is what comes out when the style is redrawn in that base and graded.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/spaced_points.hpp"
#include "grading/checks/girths/another_base.hpp"
#include "grading/grade/held_stretches.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

namespace {

double drawn_at(double low, double high) {
  return low + (high - low) * static_cast<double>(*rc::gen::inRange(0, 10001)) / 10000.0;
}

Size size_of(int steps) {
  return {Fraction(steps), std::to_string(steps)};
}
Width width_of(int steps) {
  return {Fraction(steps), std::string(1, static_cast<char>('D' + steps))};
}

MeasureTable table_with(const SizeWidth& base, const std::vector<Fraction>& values) {
  const auto inches = [](std::int64_t below) { return Fraction(254, 10 * below); };
  const auto measure = [](const char* name, Fraction value, Fraction per_size, Fraction per_width) {
    Measure one;
    one.name = name;
    one.base = millimetres(value);
    one.per_size = millimetres(per_size);
    one.per_width = millimetres(per_width);
    return one;
  };
  return *MeasureTable::build({measure("stick length", values[0], inches(3), 0),
                               measure("ball girth", values[1], inches(4), inches(4)),
                               measure("tread", values[2], inches(12), inches(9))},
                              {base, Fraction(250), Fraction(254, 30)});
}

struct Set {
  StyleSpec style;
  MeasureTable table;
  Result<StyleGrade> grade;
};

Set set_of(const FormeSpec& forme, BoundPiece piece, int base, int from, int to,
           const std::vector<Fraction>& values, int base_width = 1) {
  SizeRun run;
  for (int s = from; s <= to; ++s) run.sizes.push_back(size_of(s));
  for (int w = 0; w <= 2; ++w) run.widths.push_back(width_of(w));
  run.base = {size_of(base), width_of(base_width)};
  StyleSpec style;
  style.name = "laws";
  style.formes = {forme};
  piece.spec.edges.clear();
  for (const BoundEdge& edge : piece.edges) piece.spec.edges.push_back(edge.spec);
  style.pieces = {piece.spec};
  const MeasureTable table = table_with(run.base, values);
  Result<StyleGrade> grade = grade_style(style, table, run, {piece}, {}, 1);
  return {style, table, std::move(grade)};
}

const std::vector<Fraction> kValues = {Fraction(280), Fraction(230), Fraction(80)};

// The quarter, redrawn as it is cut in one cell: arcs and lines.
BoundPiece redrawn_piece(const StyleGrade& grade, std::size_t cell) {
  BoundPiece piece = grade.pieces[0].bound;
  const ShapeNodes nodes = grade.pieces[0].nodes.column(cell);
  for (std::size_t e = 0; e < piece.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(grade.pieces[0].shape.edges[e], nodes);
    std::vector<Curve> curves;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const ArcSegment s = path.segment(i);
      if (std::abs(s.bulge) < 1e-9) {
        curves.push_back(Line{s.a, s.b});
      } else {
        curves.push_back(Arc{s.a, s.b, s.bulge});
      }
    }
    piece.edges[e].chain = *make_open_chain({std::move(curves)}, Millimetres(1e-6));
  }
  return piece;
}

// How far the two styles put the same places of the outline from each other, in both ends of the run and
// every width. `from`: the cell of the first style that the other one is drawn in.
double measured(const Set& one, const Set& other, std::size_t from) {
  const StyleGrade& a = *one.grade;
  const StyleGrade& b = *other.grade;
  const GradeMap& drawn_map = a.formes[0].map;
  const Drivers& there = a.formes[0].drivers[from];
  double worst = 0.0;
  for (const BoundEdge& edge : a.pieces[0].bound.edges) {
    for (const Vec2 p : spaced_points(edge.chain.curves(), 48)) {
      for (const std::size_t size : {std::size_t{0}, a.run.sizes.size() - 1}) {
        for (std::size_t w = 0; w < 3; ++w) {
          const std::size_t cell = a.cell(size, w);
          if (cell == from) continue;
          const Vec2 direct = drawn_map.graded(p, a.formes[0].drivers[cell]);
          const Vec2 onward = b.formes[0].map.graded(drawn_map.graded(p, there), b.formes[0].drivers[cell]);
          worst = std::max(worst, distance(direct, onward));
        }
      }
    }
  }
  return worst;
}

FormeSpec drawn_points_in(const StyleGrade& grade, FormeSpec forme, std::size_t cell) {
  for (NamedPoint& p : forme.points) p.at = grade.formes[0].map.graded(p.at, grade.formes[0].drivers[cell]);
  return forme;
}

}  // namespace

TEST_CASE("with proportional rules alone any size may be the base", "[another base][laws]") {
  test::holds_for_all(
      "the set is the same",
      [] {
        const int base = *rc::gen::inRange(3, 9);
        const Set set = set_of(shell_forme(), quarter_piece(), base, 2, 9, kValues);
        RC_ASSERT(set.grade.ok());
        const std::vector<StyleFinding> findings = another_base(*set.grade, set.table);
        RC_ASSERT(findings.size() == 1);
        RC_ASSERT(findings[0].worst < 1e-9);
        RC_ASSERT(!findings[0].limit.has_value());
      },
      6);
}

TEST_CASE("the figure for another base is what a redrawn style comes to", "[another base][laws]") {
  int told = 0;
  int asked = 0;
  test::holds_for_all(
      "redrawn in any end of the run and graded from there, the outlines differ by the figure",
      [&] {
        FormeSpec forme = shell_forme();
        forme.points.push_back({"free", {drawn_at(40, 120), drawn_at(30, 90)}});
        forme.rules.push_back(PointRule{"throat", {drawn_at(1, 4), drawn_at(1, 4)}, {0.0, drawn_at(0, 0.6)}});
        forme.rules.push_back(PointRule{"free", {drawn_at(0, 3), drawn_at(-1, 2)}, {0.0, drawn_at(0, 0.4)}});
        BoundPiece piece = quarter_piece();
        piece.edges[3].spec.held = *rc::gen::inRange(0, 2) == 1;
        // The base is one end of the run: the other bases looked at are the ends in every width.
        const int first = 2;
        const int last = first + *rc::gen::inRange(3, 8);
        const int base = *rc::gen::inRange(0, 2) == 1 ? first : last;
        const Set one = set_of(forme, piece, base, first, last, kValues);
        RC_PRE(one.grade.ok());
        const StyleFinding figure = another_base(*one.grade, one.table).front();
        double found = 0.0;
        for (const int from : {first, last}) {
          for (const int width : {0, 1, 2}) {
            if (from == base && width == 1) continue;
            const std::size_t there =
                one.grade->cell(static_cast<std::size_t>(from - first), static_cast<std::size_t>(width));
            std::vector<Fraction> values;
            for (std::size_t m = 0; m < 3; ++m)
              values.push_back(one.table.exact(m, {size_of(from), width_of(width)}));
            const Set other = set_of(drawn_points_in(*one.grade, forme, there),
                                     redrawn_piece(*one.grade, there), from, first, last, values, width);
            RC_ASSERT(other.grade.ok());
            found = std::max(found, measured(one, other, there));
            // What is cut: the corners of the written outlines.
            for (std::size_t w = 0; w < 3; ++w) {
              const std::size_t cell = one.grade->cell(static_cast<std::size_t>(base - first), w);
              const ShapeNodes a = one.grade->pieces[0].nodes.column(cell);
              const ShapeNodes b = other.grade->pieces[0].nodes.column(cell);
              for (std::size_t e = 0; e < piece.edges.size(); ++e) {
                const Vec2 p = shaped_point(a, one.grade->pieces[0].shape.edges[e].front().from);
                const Vec2 q = shaped_point(b, other.grade->pieces[0].shape.edges[e].front().from);
                RC_ASSERT(distance(p, q) < figure.worst + 0.002);
              }
            }
          }
        }
        ++asked;
        told += found > 0.05 ? 1 : 0;
        RC_ASSERT(std::abs(found - figure.worst) < 0.03 * found + 0.002);
      },
      12);
  CHECK(told > asked / 2);
}
