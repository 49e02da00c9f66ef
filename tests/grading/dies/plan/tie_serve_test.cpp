// What a die is off for a size, told by the marks it makes.
#include "grading/dies/plan/tie_serve.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

// A box with a hole and a nick of its own length and direction.
DieShape nicked_box(Vec2 mouth, Vec2 tip, Vec2 hole = {20.0, 10.0}) {
  DieShape shape;
  shape.cut.path = test::box_path(60.0, 40.0);
  shape.cut.edge.assign(shape.cut.path.size(), 0);
  shape.holes.push_back({hole, 2.0, Operation::kHole});
  shape.marks.push_back({{{{mouth, 0.0}, {tip, 0.0}}}, Operation::kNick, false});
  return shape;
}

double serve_off(const DieShape& size, const DieShape& die) {
  const ServeTable table({&size}, {{1.0}, 1.0, 1.0}, {});
  return greatest_deviation(table.measured(die, 0, Placement{}), size, die);
}

}  // namespace

TEST_CASE("a mark deviates by the farther of its two ends, a hole by its centre", "[dies]") {
  const DieShape size = nicked_box({10.0, 0.0}, {10.0, 3.0});
  CHECK(serve_off(size, size) == Approx(0.0).margin(1e-9));
  CHECK(serve_off(size, nicked_box({10.2, 0.0}, {10.0, 3.0})) == Approx(0.2));
  CHECK(serve_off(size, nicked_box({10.0, 0.0}, {10.0, 3.4})) == Approx(0.4));
  CHECK(serve_off(size, nicked_box({10.2, 0.0}, {10.0, 3.4})) == Approx(0.4));
  CHECK(serve_off(size, nicked_box({10.0, 0.0}, {10.0, 3.0}, {20.3, 10.4})) == Approx(0.5));
}

TEST_CASE("a die whose nick leans too far serves no other size", "[dies]") {
  const DieShape size = nicked_box({10.0, 0.0}, {10.0, 3.0});
  const auto serves = [&](const DieShape& die) {
    ServeCount count;
    return ServeTable({&size}, {{0.2}, 0.2, 0.3}, {}).served_by(die, {}, count).size() == 1;
  };
  CHECK(serves(nicked_box({10.0, 0.0}, {10.2, 3.0})));
  CHECK_FALSE(serves(nicked_box({10.0, 0.0}, {11.2, 3.0})));
}
