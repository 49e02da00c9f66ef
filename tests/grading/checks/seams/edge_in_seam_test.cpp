// An edge as a seam sees it, walked either way.
#include "grading/checks/seams/edge_in_seam.hpp"

#include <catch2/catch.hpp>

#include "geometry/curve/course.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

TEST_CASE("an edge walked from its other end has its nicks at the same places", "[seam][law]") {
  test::holds_for_all("nicks stay where they are", [] {
    EdgeInSeam edge;
    Vec2 at{0, 0};
    const int segments = *rc::gen::inRange(1, 6);
    for (int i = 0; i < segments; ++i) {
      edge.path.vertices.push_back({at, *rc::gen::inRange(-50, 51) / 100.0});
      at = at + Vec2{*rc::gen::inRange(5, 60) * 1.0, *rc::gen::inRange(-30, 31) * 1.0};
    }
    edge.path.vertices.push_back({at, 0.0});
    edge.length = length(edge.path);
    edge.angle_at_start = Radians(1.0);
    edge.angle_at_end = Radians(2.0);
    const int nicks = *rc::gen::inRange(1, 5);
    for (int i = 0; i < nicks; ++i)
      edge.nicks.push_back({edge.length * (i + *rc::gen::inRange(0, 100) / 100.0) / nicks, i});
    const EdgeInSeam back = reversed(edge);
    RC_ASSERT(back.angle_at_start.value() == 2.0 && back.angle_at_end.value() == 1.0);
    RC_ASSERT(back.nicks.size() == edge.nicks.size());
    for (std::size_t i = 0; i < edge.nicks.size(); ++i) {
      const NickInSeam& one = edge.nicks[i];
      const NickInSeam& other = back.nicks[back.nicks.size() - 1 - i];
      RC_ASSERT(one.number == other.number);
      RC_ASSERT(distance(Course(edge.path).at(one.along).at, Course(back.path).at(other.along).at) < 1e-9);
    }
  });
}

}  // namespace lastwright
