#include "geometry/lattice/strip_lattice.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

namespace lastwright {

namespace {

LatticeShape shape_of(const Polygon& polygon) {
  ClosedArcPath path;
  for (const Vec2 p : polygon) path.vertices.push_back({p, 0.0});
  const Result<LatticeShape> shape = lattice_shape(path, Millimetres(0.02));
  REQUIRE(shape.ok());
  return *shape;
}

// A convex polygon with corners on an ellipse.
Polygon on_ellipse(std::mt19937& random, int corners) {
  const auto in = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
  };
  Polygon polygon;
  const double tilt = in(-20.0, 20.0);
  const double width = in(15.0, 40.0);
  for (int k = 0; k < corners; ++k) {
    const double angle = 2.0 * std::numbers::pi * (k + in(-0.35, 0.35)) / corners;
    const Vec2 at{40.0 * std::cos(angle), width * std::sin(angle)};
    polygon.push_back({at.x + tilt * at.y / width, at.y});
  }
  return polygon;
}

// How far above a convex shape another one, moved by x, lies free of it: from their corners alone.
double least_height(const Polygon& shape, const Polygon& other, double x) {
  double height = 0.0;
  const auto over = [&](const Polygon& one, const Polygon& rim, double by, double sign) {
    for (const Vec2 corner : one) {
      const double at = corner.x + by;
      for (std::size_t i = 0; i < rim.size(); ++i) {
        const Vec2 p = rim[i];
        const Vec2 q = rim[(i + 1) % rim.size()];
        if (std::min(p.x, q.x) > at || std::max(p.x, q.x) < at || p.x == q.x) continue;
        height = std::max(height, sign * (corner.y - p.y - (at - p.x) / (q.x - p.x) * (q.y - p.y)));
      }
    }
  };
  over(shape, other, -x, 1.0);  // corners of the lower one below the other's rim
  over(other, shape, x, -1.0);  // corners of the upper one above the lower one's rim
  return height;
}

// Its values over a net of x, and for the rows of other shapes that lie a apart from each other.
class Heights {
 public:
  Heights(const Polygon& shape, const Polygon& other) : reach_(bounds(shape).width()) {
    for (int k = 0; k <= kSamples; ++k)
      tops_.push_back(least_height(shape, other, (2.0 * k / kSamples - 1.0) * reach_));
  }
  [[nodiscard]] double of_row(double a, double shift) const {
    double height = 0.0;
    for (double i = std::ceil((-reach_ - shift) / a); shift + i * a <= reach_; i += 1.0) {
      const double at = ((shift + i * a) / reach_ + 1.0) * 0.5 * kSamples;
      height = std::max(height, tops_[static_cast<std::size_t>(std::lround(at))]);
    }
    return height;
  }

 private:
  static constexpr int kSamples = 2000;
  double reach_;
  std::vector<double> tops_;
};

double level_of(const Polygon& shape) {
  double level = 0.0;  // at which they lie beside each other
  for (double x = 0.0; x < bounds(shape).width() + 0.1; x += 0.05) {
    if (least_height(shape, shape, x) > 1e-9) level = x + 0.05;
  }
  return level;
}

// The least length for a shape over many lengths of a and many shifts from row to row.
double by_trying(const Polygon& shape, double width) {
  const double room = width - bounds(shape).height();
  const double level = level_of(shape);
  const Heights heights(shape, shape);
  double best = level;  // one row
  for (double a = level; a < 2.1 * level; a += 0.02 * level) {
    for (double shift = 0.0; shift < a; shift += 0.02 * a) {
      double step = 0.0;
      for (int rows = 1; rows <= 3; ++rows) step = std::max(step, heights.of_row(a, rows * shift) / rows);
      best = std::min(best, a / (static_cast<int>(room / step) + 1));
    }
  }
  return best;
}

// The same with rows of half-turned ones between.
double by_trying_turned(const Polygon& shape, double width) {
  const double room = width - bounds(shape).height();
  const double level = level_of(shape);
  Polygon turned;
  for (const Vec2 p : shape) turned.push_back(-p);
  const Heights same(shape, shape);
  const Heights up(shape, turned);
  const Heights down(turned, shape);
  constexpr int kShifts = 50;
  double best = level;
  for (double a = level; a < 1.9 * level; a += 0.03 * level) {
    std::vector<double> of[3];
    for (int k = 0; k < kShifts; ++k) {
      of[0].push_back(same.of_row(a, k * a / kShifts));
      of[1].push_back(up.of_row(a, k * a / kShifts));
      of[2].push_back(down.of_row(a, k * a / kShifts));
    }
    const auto at = [&](int which, int shift) {
      return of[which][static_cast<std::size_t>(shift % kShifts)];
    };
    for (int s = 0; s < kShifts; ++s) {
      for (int t = 0; t < kShifts; ++t) {
        const double one = at(1, s);
        const double next = at(2, t);
        if (one + next < at(0, s + t) || 2.0 * one + next < at(1, 2 * s + t) ||
            one + 2.0 * next < at(2, s + 2 * t) || 2.0 * (one + next) < at(0, 2 * (s + t)))
          continue;
        int rows = 1;
        double height = 0.0;
        while (height + (rows % 2 == 1 ? one : next) <= room) height += rows++ % 2 == 1 ? one : next;
        best = std::min(best, a / rows);
      }
    }
  }
  return best;
}

}  // namespace

// By hand: rectangles of 30 x 20 in a strip of 65 lie in three rows; right triangles of 40 x 30 pair up to
// rectangles, so a strip of 61 holds two rows of each and takes 10 mm a triangle.
TEST_CASE("rows of rectangles and triangles fill a strip as counted by hand", "[lattice]") {
  const StripLay boxes =
      densest_in_strip(shape_of({{0, 0}, {30, 0}, {30, 20}, {0, 20}}), {LatticeKind::kTranslated}, {65.0});
  CHECK(boxes.rows.size() == 3);
  CHECK(boxes.length_per_shape() == Approx(10.0).epsilon(1e-6));
  const LatticeShape triangle = shape_of({{0, 0}, {40, 0}, {0, 30}});
  const StripLay pairs = densest_in_strip(triangle, {LatticeKind::kHalfTurned}, {61.0});
  CHECK(pairs.rows.size() == 4);
  CHECK(pairs.length_per_shape() == Approx(10.0).epsilon(1e-6));
  // A sheet of 61 x 85 holds two such rectangles in each of two rows.
  CHECK(shapes_in_sheet(pairs, triangle, 85.0) == 8);
}

TEST_CASE("rows lie within the strip and free of overlap", "[lattice]") {
  const LatticeShape shape = shape_of({{0, 0}, {70, 5}, {64, 40}, {40, 30}, {20, 48}, {-6, 36}});
  for (const double width : {60.0, 100.0, 333.0}) {
    const StripLay lay = densest_in_strip(shape, {LatticeKind::kHalfTurned, LatticeKind::kMirrored}, {width});
    REQUIRE(!lay.rows.empty());
    CHECK(lay.lattice.a.y == Approx(0.0).margin(1e-12));
    CHECK(shared_area(lay.lattice, shape.parts, second_parts(shape.parts, lay.kind)) < 1e-6 * shape.area);
    for (const StripRow& row : lay.rows) CHECK(std::abs(row.y) + 24.0 <= 0.5 * width + 1e-6);
    CHECK(lay.length_per_shape() * width >= shape.area);
  }
  CHECK(densest_in_strip(shape, {LatticeKind::kTranslated}, {40.0}).rows.empty());
}

// Discs of 20 in a strip of 92: in the densest lattice rows lie 17.3 apart, so five of them have room to
// spare and each disc takes a fifth of 20. In one of 84 the five rows lie 16 apart: discs of two rows that
// touch lie 12 from each other along, those of a row 24.
TEST_CASE("rows stand farther apart along where the strip then holds one more", "[lattice]") {
  Polygon disc;
  for (int k = 0; k < 180; ++k) {
    const double angle = std::numbers::pi * k / 90.0;
    disc.push_back({10.0 * std::cos(angle), 10.0 * std::sin(angle)});
  }
  const StripLay lay = densest_in_strip(shape_of(disc), {LatticeKind::kTranslated}, {92.0});
  CHECK(lay.rows.size() == 5);
  CHECK(lay.length_per_shape() == Approx(20.0 / 5.0).epsilon(1e-3));
  const StripLay narrow = densest_in_strip(shape_of(disc), {LatticeKind::kTranslated}, {84.0});
  CHECK(narrow.rows.size() == 5);
  CHECK(narrow.length_per_shape() == Approx(24.0 / 5.0).epsilon(1e-3));
}

// Against every lattice of a fine net of lattices whose rows lie along the strip.
TEST_CASE("no rows that are tried one by one take less of a strip", "[lattice]") {
  std::mt19937 random(5);
  int aslant = 0;  // in which the shapes of a row stand apart
  for (int round = 0; round < 8; ++round) {
    const Polygon polygon = round == 0 ? Polygon{{0, 0}, {60, -9}, {105, 22}, {105, 52}, {45, 60}, {0, 30}}
                                       : on_ellipse(random, 3 + round);
    const LatticeShape shape = shape_of(polygon);
    const double width = bounds(polygon).height() * (1.4 + 0.83 * round);
    const StripLay lay = densest_in_strip(shape, {LatticeKind::kTranslated}, {width});
    REQUIRE(!lay.rows.empty());
    INFO("round " << round << ": " << lay.rows.size() << " rows, " << lay.length_per_shape());
    CHECK(lay.length_per_shape() <= by_trying(shape.polygon, width) * (1.0 + 1e-6));
    CHECK(shared_area(lay.lattice, shape.parts, {}) < 1e-6 * shape.area);
    if (lay.lattice.a.x > 1.3 * bounds(polygon).width()) ++aslant;
    const StripLay turned = densest_in_strip(shape, {LatticeKind::kHalfTurned}, {width});
    INFO("half turned: " << turned.rows.size() << " rows, " << turned.length_per_shape());
    CHECK(turned.length_per_shape() <= by_trying_turned(shape.polygon, width) * (1.0 + 1e-6));
  }
  CHECK(aslant > 0);
}

TEST_CASE("a wider strip never takes more length for a shape", "[lattice]") {
  std::mt19937 random(11);
  for (int round = 0; round < 6; ++round) {
    Polygon polygon = on_ellipse(random, 4 + round);
    if (round % 2 == 1) polygon[0] = 0.4 * polygon[0];  // hollow there
    const LatticeShape shape = shape_of(polygon);
    const LatticeKind kind = round % 3 == 0 ? LatticeKind::kTranslated : LatticeKind::kHalfTurned;
    double before = 1e300;
    for (double wide = 1.2; wide < 5.0; wide += 0.6) {
      const StripLay lay = densest_in_strip(shape, {kind}, {wide * bounds(polygon).height()});
      INFO("round " << round << ", " << wide);
      REQUIRE(!lay.rows.empty());
      CHECK(lay.length_per_shape() <= before * (1.0 + 1e-9));
      before = lay.length_per_shape();
    }
  }
}

// A long slim shape in a sheet of little more than its length: where rows have no room the search begins with
// shapes deep in each other, and its cell came to nothing.
TEST_CASE("a polish of rows without room looks at bounded many contacts", "[lattice]") {
  Polygon slim;
  for (int k = 0; k < 60; ++k) {
    const double angle = std::numbers::pi * k / 30.0;
    slim.push_back({43.0 * std::cos(angle), 130.0 * std::sin(angle) + 20.0 * std::sin(2.0 * angle)});
  }
  const LatticeShape shape = shape_of(slim);
  const SumObstacle same(shape.parts, shape.parts);
  const std::vector<Polygon> second = second_parts(shape.parts, LatticeKind::kMirrored);
  const SumObstacle mixed(shape.parts, second);
  const SumObstacle other(second, second);
  for (const int rows : {2, 3, 4, 5}) {
    for (const bool two : {false, true}) {
      Lattice start{{two ? 172.0 : 86.0, 0.0}, {0.0, 270.0}, {}};
      if (two) start.second = Vec2{86.0, 0.0};
      const Polished tight = polish(start, {&same, two ? &other : nullptr, two ? &mixed : nullptr},
                                    {.first_step = 8.0,
                                     .last_step = 0.05,
                                     .most_rounds = 40,
                                     .level = true,
                                     .rows = rows,
                                     .room = 240.0});
      INFO(rows << " rows, depth " << tight.depth << ", contacts " << tight.contacts);
      CHECK(tight.contacts < 20'000);
      CHECK(tight.area >= 0.1 * start.cell_area());
    }
  }
}

TEST_CASE("rows of a strip are never longer for a few shapes than straight ones by their boxes",
          "[lattice]") {
  std::mt19937 random(3);
  for (int round = 0; round < 6; ++round) {
    Polygon polygon = on_ellipse(random, 5 + round);
    if (round % 2 == 1) polygon[0] = 0.4 * polygon[0];  // hollow there
    const LatticeShape shape = shape_of(polygon);
    const Box2 box = bounds(polygon);
    for (const LatticeKind kind :
         {LatticeKind::kTranslated, LatticeKind::kHalfTurned, LatticeKind::kMirrored}) {
      std::vector<StripLay> found;
      const double width = (3.1 + 0.4 * round) * box.height();
      const StripLay lay = densest_in_strip(shape, {kind}, {width}, &found);
      bool straight = false;
      for (const StripLay& one : found) {
        CHECK(shared_area(one.lattice, shape.parts, second_parts(shape.parts, kind)) < 1e-6 * shape.area);
        CHECK(one.length_per_shape() >= lay.length_per_shape() * (1.0 - 1e-8));
        bool level = one.period <= box.width() + 0.1 && one.rows.size() >= 3;
        for (const StripRow& row : one.rows) level = level && row.x == one.rows.front().x;
        straight = straight || level;
      }
      CHECK(straight);
    }
  }
}

}  // namespace lastwright
