#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "grading/planning/hide_directions.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// By looking at every leg of every line.
std::size_t nearest_of_all(const std::vector<std::vector<Vec2>>& lines, Vec2 at) {
  std::size_t best = 0;
  double least = 1e300;
  for (std::size_t l = 0; l < lines.size(); ++l) {
    for (std::size_t i = 0; i + 1 < lines[l].size(); ++i) {
      const Vec2 along = lines[l][i + 1] - lines[l][i];
      const double size = dot(along, along);
      const double t = size > 0.0 ? std::clamp(dot(at - lines[l][i], along) / size, 0.0, 1.0) : 0.0;
      const double off = distance(at, lines[l][i] + t * along);
      if (off < least) {
        least = off;
        best = l;
      }
    }
  }
  return best;
}

}  // namespace

TEST_CASE("the nearest direction line is that of looking at all, and its box holds the place", "[planning]") {
  test::holds_for_all("nearest by cells = nearest of all", [] {
    const auto place = [] {
      return Vec2{0.1 * *rc::gen::inRange(-500, 11'000), 0.1 * *rc::gen::inRange(-500, 8'000)};
    };
    std::vector<std::vector<Vec2>> lines(static_cast<std::size_t>(*rc::gen::inRange(1, 9)));
    for (std::vector<Vec2>& line : lines) {
      for (int k = 0; k < 3; ++k) line.push_back(place());
    }
    const Box2 about{{0.0, 0.0}, {1000.0, 700.0}};
    const NearestLine nearest(lines, about);
    for (int k = 0; k < 40; ++k) {
      const Vec2 at = place();
      const std::size_t found = nearest(at);
      RC_ASSERT(found == nearest_of_all(lines, at));
      if (about.overlaps({at, at})) RC_ASSERT(nearest.box(found).overlaps({at, at}));
    }
  });
}

// A half circle runs many ways: hardly more lines are looked at for a place than for one of a few lines, and
// each holds its share of the hide alone.
TEST_CASE("a direction line that runs many ways costs hardly more than a straight one", "[planning]") {
  std::vector<Vec2> arc;
  for (int k = 0; k <= 180; ++k) {
    const double angle = k * std::numbers::pi / 180.0;
    arc.push_back({700.0 + 600.0 * std::cos(angle), 50.0 + 600.0 * std::sin(angle)});
  }
  const std::vector<std::vector<Vec2>> lines = one_way_parts(arc);
  CHECK(lines.size() >= 20);
  const Box2 about{{0.0, 0.0}, {1400.0, 800.0}};
  const NearestLine nearest(lines, about);
  std::size_t looked = 0;
  std::size_t places = 0;
  for (double x = 5.0; x < 1400.0; x += 10.0) {
    for (double y = 5.0; y < 800.0; y += 10.0) {
      looked += nearest.looked_at({x, y});
      ++places;
    }
  }
  CHECK(looked < 4 * places);
  double boxes = 0.0;
  for (std::size_t l = 0; l < lines.size(); ++l) boxes += nearest.box(l).width() * nearest.box(l).height();
  CHECK(boxes < 10.0 * about.width() * about.height());
}

}  // namespace lastwright
