#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <ctime>
#include <limits>
#include <random>

#include "geometry/io/drawing.hpp"

using namespace lastwright;

namespace {

DrawnPath chain_line(Vec2 a, Vec2 b, const std::string& layer = "1", std::size_t insert = 0) {
  DrawnPath path;
  path.curves = {Line{a, b}};
  path.from.layer = layer;
  path.from.insert = insert;
  return path;
}

constexpr Millimetres kGap{0.02};

bool walks(const Contour& contour, double gap) {
  const auto& curves = contour.raw.curves;
  for (std::size_t i = 0; i + 1 < curves.size(); ++i) {
    if (distance(end_of(curves[i]), start_of(curves[i + 1])) > gap) return false;
  }
  return !contour.closed || distance(end_of(curves.back()), start_of(curves.front())) <= gap;
}

}  // namespace

TEST_CASE("loose edges in any order and direction become one closed contour", "[chain]") {
  Drawing drawing;
  drawing.paths = {chain_line({0, 0}, {10, 0}), chain_line({0, 10}, {0, 0}), chain_line({10, 10}, {10.01, 0}),
                   chain_line({10, 10}, {0, 10.015})};
  const ChainedContours chained = chain_contours(drawing, kGap);
  REQUIRE(chained.contours.size() == 1);
  const Contour& contour = chained.contours[0];
  CHECK(contour.closed);
  CHECK(contour.raw.curves.size() == 4);
  CHECK(walks(contour, 0.02));
  CHECK(contour.widest_gap == Approx(0.015));
  CHECK(start_of(contour.raw.curves[0]) == Vec2{0, 0});  // runs as its first entity is drawn
  CHECK(end_of(contour.raw.curves[0]) == Vec2{10, 0});
  CHECK(chained.problems.empty());
}

TEST_CASE("a run with loose ends starts at its end and stays open", "[chain]") {
  Drawing drawing;
  drawing.paths = {chain_line({1, 0}, {2, 0}), chain_line({3, 0}, {2, 0}), chain_line({1, 0}, {0, 0})};
  const ChainedContours chained = chain_contours(drawing, kGap);
  REQUIRE(chained.contours.size() == 1);
  CHECK_FALSE(chained.contours[0].closed);
  CHECK(start_of(chained.contours[0].raw.curves[0]) == Vec2{0, 0});
  CHECK(end_of(chained.contours[0].raw.curves[2]) == Vec2{3, 0});
}

TEST_CASE("layers and insertions are not joined to each other", "[chain]") {
  Drawing drawing;
  drawing.paths = {chain_line({0, 0}, {1, 0}, "1"), chain_line({1, 0}, {1, 1}, "8"),
                   chain_line({1, 1}, {0, 0}, "1"), chain_line({1, 0}, {1, 1}, "1", 2)};
  const ChainedContours chained = chain_contours(drawing, kGap);
  CHECK(chained.contours.size() == 3);
  for (const Contour& contour : chained.contours) CHECK_FALSE(contour.closed);
}

TEST_CASE("a branch is reported once and joined nowhere", "[chain]") {
  Drawing drawing;
  drawing.paths = {chain_line({0, 0}, {5, 0}), chain_line({5, 0}, {9, 3}), chain_line({5, 0.01}, {9, -3}),
                   chain_line({9, 3}, {12, 3})};
  const ChainedContours chained = chain_contours(drawing, kGap);
  CHECK(chained.contours.size() == 2);  // those that meet exactly belong together; the third stays open
  CHECK_FALSE(chained.contours[1].closed);
  drawing.paths[2] = chain_line({5, 0}, {9, -3});
  const ChainedContours exact = chain_contours(drawing, kGap);
  CHECK(exact.contours.size() == 3);
  REQUIRE(exact.problems.size() == 1);
  CHECK(exact.problems[0].message.find("(5.000, 0.000)") != std::string::npos);
}

TEST_CASE("where more than two ends meet, what cannot be part of an outline is left aside", "[chain]") {
  const auto box = [] {
    return std::vector<DrawnPath>{chain_line({0, 0}, {9, 0}), chain_line({9, 0}, {9, 5}),
                                  chain_line({9, 5}, {0, 5}), chain_line({0, 5}, {0, 0})};
  };
  const auto closed = [](const ChainedContours& chained) {
    return std::count_if(chained.contours.begin(), chained.contours.end(),
                         [](const Contour& contour) { return contour.closed; });
  };
  Drawing drawing;
  drawing.paths = box();
  drawing.paths.push_back(chain_line({0, 0}, {4, 2}));  // stops inside
  drawing.paths.push_back(chain_line({4, 2}, {5, 2}));
  drawing.paths.push_back(chain_line({5, 2}, {5, 3}));  // and branches there, going nowhere
  drawing.paths.push_back(chain_line({5, 2}, {6, 1}));
  ChainedContours chained = chain_contours(drawing, kGap);
  CHECK(closed(chained) == 1);
  REQUIRE(chained.problems.size() == 1);  // of the three lines that meet inside
  CHECK(chained.problems[0].message.find("(5.000, 2.000)") != std::string::npos);

  // Two outlines that touch in a corner are two.
  drawing.paths = box();
  for (const DrawnPath& path :
       {chain_line({9, 5}, {20, 5}), chain_line({20, 5}, {20, 9}), chain_line({20, 9}, {9, 5})})
    drawing.paths.push_back(path);
  chained = chain_contours(drawing, kGap);
  CHECK(closed(chained) == 2);
  CHECK(chained.problems.empty());

  // A line from edge to edge, or an edge that two outlines share: nobody can tell.
  drawing.paths = box();
  drawing.paths.push_back(chain_line({0, 0}, {9, 5}));
  chained = chain_contours(drawing, kGap);
  CHECK(closed(chained) == 0);
  CHECK(chained.problems.size() == 2);
  std::size_t paths = 0;
  for (const Contour& contour : chained.contours) paths += contour.paths.size();
  CHECK(paths == drawing.paths.size());
}

TEST_CASE("segments shorter than the gap are no branch when they meet exactly", "[chain]") {
  Drawing drawing;
  for (int i = 0; i < 100; ++i) drawing.paths.push_back(chain_line({0.005 * i, 0}, {0.005 * (i + 1), 0}));
  const ChainedContours chained = chain_contours(drawing, kGap);
  CHECK(chained.contours.size() == 1);
  CHECK(chained.problems.empty());
}

TEST_CASE("closed paths and paths that return to their start are contours of their own", "[chain]") {
  Drawing drawing;
  DrawnPath closed = chain_line({0, 0}, {1, 0});
  closed.curves = {Line{{0, 0}, {1, 0}}, Line{{1, 0}, {0, 1}}, Line{{0, 1}, {0, 0}}};
  DrawnPath returning = closed;
  closed.closed = true;
  drawing.paths = {closed, returning};
  const ChainedContours chained = chain_contours(drawing, kGap);
  REQUIRE(chained.contours.size() == 2);
  CHECK(chained.contours[0].closed);
  CHECK(chained.contours[1].closed);
}

TEST_CASE(
    "shuffled outlines come back whole, and sixteen times the edges take far less than the square of it",
    "[chain]") {
  std::mt19937 random(7);
  const auto outlines = [&](int count) {
    Drawing drawing;
    for (int k = 0; k < count; ++k) {
      const Vec2 corner{20.0 * (k % 100), 20.0 * (k / 100)};
      constexpr int kSides = 10;
      for (int i = 0; i < kSides; ++i) {
        const auto at = [&](int j) {
          const double angle = 2.0 * 3.14159265358979 * (j % kSides) / kSides;
          return corner + 8.0 * Vec2{std::cos(angle), std::sin(angle)};
        };
        drawing.paths.push_back(random() % 2 ? chain_line(at(i), at(i + 1)) : chain_line(at(i + 1), at(i)));
      }
    }
    std::shuffle(drawing.paths.begin(), drawing.paths.end(), random);
    return drawing;
  };
  // Chaining beside a copy of the same drawing, which meets the same memory: what a processor's caches hold
  // no more slows both, and so does a busy neighbour.
  double large = 0.0;  // seconds of the last chaining
  const auto chainings_a_copy = [&](int count) {
    const Drawing drawing = outlines(count);
    double least = std::numeric_limits<double>::infinity();
    double copied = least;
    for (int i = 0; i < 3; ++i) {
      auto start = std::clock();
      const ChainedContours chained = chain_contours(drawing, kGap);
      least = std::min(least, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
      start = std::clock();
      const std::vector<DrawnPath> copy = drawing.paths;
      copied = std::min(copied, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
      CHECK(copy.size() == drawing.paths.size());
      CHECK(static_cast<int>(chained.contours.size()) == count);
      CHECK(std::all_of(chained.contours.begin(), chained.contours.end(), [](const Contour& contour) {
        return contour.closed && contour.raw.curves.size() == 10;
      }));
    }
    large = least;
    return least / copied;
  };
  const double few = chainings_a_copy(400);
  const double many = chainings_a_copy(6400);
  CAPTURE(few, many);
  CHECK(many < 6.0 * few);  // quadratic work takes sixteen times as many
  // Fifty thousand ends on one point must not make every pair of them meet.
  Drawing star;
  for (int i = 0; i < 50000; ++i) star.paths.push_back(chain_line({0, 0}, {10.0 + i, 1.0 * i}));
  const auto start = std::clock();
  const ChainedContours chained = chain_contours(star, kGap);
  // Every pair of them would take over a hundred times as long as the edges above.
  CHECK(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC < 40.0 * large);
  CHECK(chained.problems.size() == 1);
}
