// Corners between very different distances: the edge with the larger one ends before its corner, on a curve
// or several edges further back.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"
#include "geometry/tolerance.hpp"
#include "tests/support/outline_file.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

constexpr OffsetCorner kUnevenForms[] = {OffsetCorner::kMitre, OffsetCorner::kFull, OffsetCorner::kSquare,
                                         OffsetCorner::kRound};

struct Uneven {
  ClosedArcPath path;
  std::vector<Millimetres> distances;
};

// The same seen in a mirror: what was cut at its end is cut at its start.
Uneven mirrored_case(const Uneven& u) {
  Uneven m;
  for (std::size_t i = u.path.size(); i-- > 0;) {
    const ArcSegment s = u.path.segment(i);
    m.path.vertices.push_back({{-s.b.x, s.b.y}, s.bulge});
    m.distances.push_back(u.distances[i]);
  }
  return m;
}

ClosedArcPath hexagon() {
  ClosedArcPath path;
  for (int k = 0; k < 6; ++k) {
    const double angle = k * std::numbers::pi / 3.0;
    path.vertices.push_back({{100.0 * std::cos(angle), 100.0 * std::sin(angle)}, 0.0});
  }
  return path;
}

OffsetOutline checked(const Uneven& u, OffsetCorner form) {
  OffsetOptions options;
  options.corner = form;
  const Result<OffsetOutline> out = offset(u.path, u.distances, options);
  INFO((out ? std::string() : to_text(out.problem())));
  REQUIRE(out.ok());
  const SimpleOptions loose{Millimetres(1e-9), Millimetres(0.0), true};
  CHECK(check_simple(out->path, loose).ok());
  REQUIRE(out->source.size() == out->path.size());
  double off = 0.0;
  double inside = 0.0;
  for (std::size_t i = 0; i < out->path.size(); ++i) {
    const std::size_t from = out->source[i].segment;
    for (int k = 1; k <= 9; ++k) {
      const Vec2 p = out->path.segment(i).point_at(k / 10.0);
      if (contains(u.path, p)) inside = std::max(inside, distance_to(u.path, p));
      if (out->source[i].corner) continue;
      const ArcSegment s = u.path.segment(from);
      // Straight edges run on beyond their ends.
      const double d = s.straight() ? std::abs(cross(s.start_tangent(), p - s.a)) : s.distance_to(p);
      off = std::max(off, std::abs(d - u.distances[from].value()));
    }
  }
  CHECK(off < 1e-6);
  CHECK(inside < 1e-6);
  return *out;
}

// Both ways round; the areas must agree.
OffsetOutline both(const Uneven& u, OffsetCorner form) {
  const OffsetOutline out = checked(u, form);
  const OffsetOutline other = checked(mirrored_case(u), form);
  CHECK(signed_area(other.path) == Approx(signed_area(out.path)).epsilon(1e-9));
  return out;
}

bool has_vertex_near(const ClosedArcPath& path, Vec2 p, double within) {
  return std::any_of(path.vertices.begin(), path.vertices.end(),
                     [&](const ArcVertex& v) { return distance(v.at, p) < within; });
}

}  // namespace

TEST_CASE("a larger allowance on a curved edge is cut back where the smaller one's line meets it",
          "[offset]") {
  Uneven u{hexagon(), std::vector<Millimetres>(6, Millimetres(4.0))};
  u.distances[0] = Millimetres(18.0);
  for (double bulge : {-0.1, -0.02, -0.001, 0.0, 0.001, 0.02, 0.1}) {
    u.path.vertices[0].bulge = bulge;
    for (OffsetCorner form : kUnevenForms) {
      CAPTURE(bulge, static_cast<int>(form));
      const OffsetOutline out = both(u, form);
      if (form != OffsetCorner::kMitre || bulge == 0.0) continue;  // the others hold to the end
      // By hand: the circle of the edge, 18 mm out, and the
      // line of the next edge, 4 mm out, found by halving.
      const ArcSegment s = u.path.segment(0);
      const ArcSegment next = u.path.segment(1);
      const Vec2 ahead = next.start_tangent();
      const Vec2 at = next.a - 4.0 * left_of(ahead);
      const double sign = bulge > 0.0 ? 1.0 : -1.0;
      const double radius = s.radius() + sign * 18.0;
      const double side = distance(at, s.centre()) - radius;
      double low = 0.0;
      double high = 40.0;
      for (int k = 0; k < 80; ++k) {
        const double middle = 0.5 * (low + high);
        const double there = distance(at - middle * ahead, s.centre()) - radius;
        ((there > 0.0) == (side > 0.0) ? low : high) = middle;
      }
      CHECK(has_vertex_near(out.path, at - low * ahead, 1e-7));
    }
  }
}

TEST_CASE("edges used up before an uneven corner disappear", "[offset]") {
  // The first edge of the hexagon in pieces of a circle or a straight line, 16 mm against nothing.
  for (double bulge : {-0.1, -0.02, 0.0, 0.02, 0.1}) {
    for (std::size_t parts : {2u, 7u, 40u}) {
      ClosedArcPath path = hexagon();
      path.vertices[0].bulge = bulge;
      const Uneven whole{
          path,
          {Millimetres(16), Millimetres(0), Millimetres(0), Millimetres(0), Millimetres(0), Millimetres(0)}};
      Uneven pieces;
      const ArcSegment first = path.segment(0);
      for (std::size_t k = 0; k < parts; ++k) {
        const auto at = [&](std::size_t j) { return static_cast<double>(j) / static_cast<double>(parts); };
        const ArcSegment part = first.part(at(k), at(k + 1));
        pieces.path.vertices.push_back({part.a, part.bulge});
        pieces.distances.emplace_back(16.0);
      }
      for (std::size_t k = 1; k < 6; ++k) {
        pieces.path.vertices.push_back(path.vertices[k]);
        pieces.distances.emplace_back(0.0);
      }
      for (OffsetCorner form : kUnevenForms) {
        CAPTURE(bulge, parts, static_cast<int>(form));
        CHECK(signed_area(both(pieces, form).path) ==
              Approx(signed_area(both(whole, form).path)).epsilon(1e-9));
      }
    }
  }
}

TEST_CASE("a chain of straight edges with turns of its own is cut back too", "[offset]") {
  // Turns of 0.02 rad: between the edges each has a run of a fifth of a millimetre.
  for (double turn : {-0.02, -0.004, 0.004, 0.02}) {
    for (double step : {1.0, 1.7, 3.1}) {
      for (double d : {6.0, 16.0}) {
        Uneven u;
        double angle = -9.0 * turn;
        Vec2 at{0, 0};
        for (int k = 0; k < 19; ++k) {
          u.path.vertices.push_back({at, 0.0});
          u.distances.emplace_back(d);
          at = at + step * Vec2{std::cos(angle), std::sin(angle)};
          angle += turn;
        }
        for (Vec2 p : {at, at + Vec2{14.0, 60.0}, Vec2{-10.0, 60.0}}) {
          u.path.vertices.push_back({p, 0.0});
          u.distances.emplace_back(0.5);
        }
        for (OffsetCorner form : kUnevenForms) {
          CAPTURE(turn, step, d, static_cast<int>(form));
          both(u, form);
        }
      }
    }
  }
}

TEST_CASE("a quarter of short arcs takes a different allowance on every edge", "[offset]") {
  const ClosedArcPath path =
      test::read_outline(test::project_dir() + "/tests/corpus/outlines/quarter-of-short-arcs.txt");
  struct Allowances {
    double feather, front, back, closing;
  };
  for (const Allowances& a : {Allowances{18, 4, 1.5, 8}, Allowances{18, 4, 4, 4}, Allowances{18, 4, 4, 0},
                              Allowances{16, 0, 0, 0}, Allowances{0, 16, 0, 0}, Allowances{4, 4, 1.5, 8},
                              Allowances{0, 0, 12, 0}, Allowances{2, 0, 0, 16}, Allowances{18, 1, 12, 1}}) {
    Uneven u{path, {}};
    for (std::size_t k = 0; k < path.size(); ++k)
      u.distances.emplace_back(k < 8 ? a.feather : k < 53 ? a.front : k < 54 ? a.back : a.closing);
    for (OffsetCorner form : kUnevenForms) {
      CAPTURE(a.feather, a.front, a.back, a.closing, static_cast<int>(form));
      both(u, form);
    }
  }
}

TEST_CASE("a step at a corner is high enough to cut, or it slopes", "[offset]") {
  const double lowest = tolerance::kShortestSegment.value();
  int sloped = 0;
  for (const double wide : {8.0, 16.0, 3.0}) {
    for (const double ratio : {0.3, 0.5, 0.8}) {
      for (int k = 1; k <= 60; ++k) {
        // The turn at which the wider edge's end stands so high above the narrower edge's line.
        const double height = 0.0025 * k;
        const double turn = std::acos(ratio * wide / (wide - height));
        const Vec2 ahead{std::cos(turn), std::sin(turn)};
        const Uneven u{
            ClosedArcPath{{{{0, 0}, 0}, {{60, 0}, 0}, {Vec2{60, 0} + 50.0 * ahead, 0}, {{0, 90}, 0}}},
            {Millimetres(wide), Millimetres(ratio * wide), Millimetres(0), Millimetres(0)}};
        CAPTURE(wide, ratio, height);
        for (const OffsetCorner form : {OffsetCorner::kFull, OffsetCorner::kSquare, OffsetCorner::kRound}) {
          const OffsetOutline out = both(u, form);
          CHECK(has_vertex_near(out.path, {60.0, -wide}, 1e-9));  // the wider edge holds to its end
          const Vec2 begins = Vec2{60, 0} - ratio * wide * left_of(ahead);
          CHECK(distance_to(out.path, begins) < 1e-9);  // and so does the narrower one
          for (std::size_t i = 0; i < out.path.size(); ++i) {
            const ArcSegment s = out.path.segment(i);
            if (distance(s.a, u.path.vertices[1].at) < 1.5 * wide) CHECK(s.length() >= lowest);
          }
          if (has_vertex_near(out.path, begins, 1e-9)) ++sloped;
        }
      }
    }
  }
  CHECK(sloped >= 3 * 9 * 19);
}
