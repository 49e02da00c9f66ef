#include "geometry/flatten/flatten.hpp"

#include <catch2/catch.hpp>
#include <numbers>

#include "geometry/flatten/conformal.hpp"
#include "geometry/flatten/stretch.hpp"
#include "tests/geometry/flatten/surfaces.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

std::vector<Vec2> start_for(const GridPatch& grid, const FlatMesh& mesh) {
  const Result<std::vector<Vec2>> start =
      conformal_copy(mesh, grid.mesh.points.size(), grid.node(0, 0), grid.node(grid.columns - 1, 0));
  REQUIRE(start.ok());
  return *start;
}

Flattened flat_of(const GridPatch& grid, std::vector<HeldLine> lines, const FlattenOptions& options) {
  const FlatMesh mesh = flat_mesh(grid);
  const Result<Flattened> flat = flatten(mesh, std::move(lines), start_for(grid, mesh), options);
  INFO((flat.ok() ? std::string() : to_text(flat.problem())));
  REQUIRE(flat.ok());
  CHECK(turned_triangles(mesh.triangles, flat->points) == 0);
  return *flat;
}

// The line along a side, to be as long as its sides are.
HeldLine side_line(const GridPatch& grid, std::size_t side) {
  HeldLine line = line_along(flat_mesh(grid), grid.side(side));
  line.length = length_of(grid.mesh.points, grid.side(side));
  return line;
}

// Largest distance of one flat copy from another after the best rigid motion.
double flat_apart(const std::vector<Vec2>& one, const std::vector<Vec2>& other) {
  Vec2 a;
  Vec2 b;
  const auto n = static_cast<double>(one.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    a += one[i] / n;
    b += other[i] / n;
  }
  Vec2 turn;
  for (std::size_t i = 0; i < one.size(); ++i)
    turn += Vec2{dot(one[i] - a, other[i] - b), cross(one[i] - a, other[i] - b)};
  turn = unit(turn);
  double most = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) {
    const Vec2 p = one[i] - a;
    most = std::max(most,
                    distance(Vec2{turn.x * p.x - turn.y * p.y, turn.y * p.x + turn.x * p.y} + b, other[i]));
  }
  return most;
}

FlattenOptions exact() {
  FlattenOptions options;
  options.settled = 1e-11;
  options.line_error = 1e-9;
  options.steps = 20000;
  return options;
}

}  // namespace

TEST_CASE("a surface that can be unrolled is laid flat without any stretch", "[flatten]") {
  for (const auto& surface : {cylinder, cone}) {
    const GridPatch grid = grid_of(41, 21, surface);
    const FlatMesh mesh = flat_mesh(grid);
    const Flattened flat = flat_of(grid, {}, exact());
    // The mesh itself is made of flat rings or strips, whose triangles are not stretched by unrolling.
    CHECK(stretch_figures(mesh, flat.points).worst < 1e-9);
  }
}

TEST_CASE("lines that the flat copy keeps anyway change nothing", "[flatten]") {
  const GridPatch grid = grid_of(31, 16, cylinder);
  const FlatMesh mesh = flat_mesh(grid);
  // A straight ruling and the chords of a round: their smooth copy is a little longer than the chords.
  HeldLine round = side_line(grid, 1);
  const Flattened free = flat_of(grid, {}, exact());
  round.length = length(smooth_copy(round, free.points));
  const Flattened held = flat_of(grid, {side_line(grid, 0), round}, exact());
  CHECK(flat_apart(free.points, held.points) < 1e-7);
}

TEST_CASE("a cap of a sphere is stretched about as little as any map can", "[flatten]") {
  // No map of the cap out to angle a does with less than a ratio a / sin a of largest to smallest stretch.
  for (const double degrees : {20.0, 45.0, 70.0}) {
    const double a = degrees * std::numbers::pi / 180.0;
    const GridPatch grid = grid_of(41, 41, cap(a));
    const FlatMesh mesh = flat_mesh(grid);
    FlattenOptions options;
    options.settled = 1e-7;
    const Flattened flat = flat_of(grid, {}, options);
    double most = 0.0;
    double least = 1e300;
    for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
      const Corners& t = mesh.triangles[n];
      const LocalStretch s =
          stretch_of(mesh.shapes[n], flat.points[t[0]], flat.points[t[1]], flat.points[t[2]]);
      most = std::max(most, s.most);
      least = std::min(least, s.least);
    }
    const double bound = std::log(a / std::sin(a));
    CHECK(std::log(most / least) > 0.98 * bound);
    CHECK(std::log(most / least) < 1.35 * bound);
  }
}

TEST_CASE("kept lines come out as long as asked, without a zigzag and without turned triangles",
          "[flatten]") {
  const GridPatch grid = grid_of(41, 25, saddle);
  const FlatMesh mesh = flat_mesh(grid);
  std::vector<double> height;
  for (Vec3 p : grid.mesh.points) height.push_back(p.x + 0.3 * p.y - 7.0);
  HeldLine across = zero_line(mesh, height, grid.side(0));
  REQUIRE(across.places.size() > 20);
  for (double step : across.steps) across.length += step;
  across.stiffness = 3.0;
  std::vector<HeldLine> lines{side_line(grid, 0), side_line(grid, 1), across};
  FlattenOptions options;
  options.line_error = 1e-4;
  const Flattened flat = flat_of(grid, lines, options);
  CHECK(flat.worst_line < 1e-4);
  for (const HeldLine& line : lines)
    CHECK(length(smooth_copy(line, flat.points)) == Approx(line.length).margin(1e-4));

  const Flattened free = flat_of(grid, {}, {});
  CHECK(std::abs(length(smooth_copy(lines[0], free.points)) - lines[0].length) >
        0.3);  // they do ask for something
  const auto sharpest = [&](const std::vector<Vec2>& points) {
    const std::vector<Vec2> at = places_at(points, lines[0].places);
    double most = 0.0;
    for (std::size_t i = 2; i < at.size(); ++i)
      most = std::max(most, std::abs(cross(unit(at[i - 1] - at[i - 2]), unit(at[i] - at[i - 1]))));
    return most;
  };
  CHECK(sharpest(flat.points) < 1.6 * sharpest(free.points));
}

TEST_CASE("the flat copy does not hang on where the search begins", "[flatten]") {
  const GridPatch grid = grid_of(31, 21, saddle);
  const FlatMesh mesh = flat_mesh(grid);
  FlattenOptions options;
  options.settled = 1e-8;
  options.line_error = 1e-7;
  const std::vector<HeldLine> lines{side_line(grid, 1), side_line(grid, 3)};
  const Flattened first = flat_of(grid, lines, options);
  std::vector<Vec2> plan;
  std::vector<Vec2> side;
  std::vector<Vec2> noise;
  unsigned state = 12345;
  const auto random = [&state] {
    state = state * 1664525U + 1013904223U;
    return 100.0 * static_cast<double>(state >> 8) / (1U << 24);
  };
  for (std::size_t i = 0; i < grid.mesh.points.size(); ++i) {
    const Vec3 p = grid.mesh.points[i];
    plan.push_back({p.x, p.y});
    side.push_back({p.x + 0.1 * p.y, 3.0 * p.z});  // many triangles folded
    noise.push_back({p.x + 0.05 * random(), p.y + 0.05 * random()});
  }
  for (const std::vector<Vec2>& start : {plan, side, noise}) {
    const Result<Flattened> flat = flatten(mesh, lines, start, options);
    REQUIRE(flat.ok());
    CHECK(flat_apart(flat->points, first.points) < 1e-5);
  }
}

TEST_CASE("a surface in inches is flattened alike, and a mirrored one mirrored", "[flatten]") {
  const GridPatch grid = grid_of(25, 17, saddle);
  FlattenOptions options = exact();
  const Flattened flat = flat_of(grid, {side_line(grid, 1)}, options);

  GridPatch large = grid;
  for (Vec3& p : large.mesh.points) p = 25.4 * p;
  FlattenOptions scaled = options;
  scaled.band *= 25.4;
  scaled.spring *= 25.4;
  const Flattened grown = flat_of(large, {side_line(large, 1)}, scaled);
  std::vector<Vec2> shrunk = grown.points;
  for (Vec2& p : shrunk) p = p / 25.4;
  CHECK(flat_apart(shrunk, flat.points) < 1e-7);

  GridPatch other = grid;
  for (Vec3& p : other.mesh.points) p.y = -p.y;
  for (Corners& t : other.mesh.triangles) std::swap(t[1], t[2]);
  std::vector<Vec2> mirrored = flat_of(other, {side_line(other, 1)}, options).points;
  for (Vec2& p : mirrored) p.y = -p.y;
  CHECK(flat_apart(mirrored, flat.points) < 1e-8);
}

TEST_CASE("what cannot be flattened is refused", "[flatten]") {
  const GridPatch flat_line = grid_of(5, 5, [](double u, double) { return Vec3{u, 0.0, 0.0}; });
  const FlatMesh mesh = flat_mesh(flat_line);
  CHECK(!flatten(mesh, {}, std::vector<Vec2>(25), {}).ok());
  const GridPatch grid = grid_of(25, 17, saddle);
  const FlatMesh sound = flat_mesh(grid);
  FlattenOptions short_of_steps;
  short_of_steps.steps = 3;
  const Result<Flattened> given_up = flatten(sound, {}, start_for(grid, sound), short_of_steps);
  REQUIRE(!given_up.ok());
  CHECK(given_up.problem().value == 3.0);
}
