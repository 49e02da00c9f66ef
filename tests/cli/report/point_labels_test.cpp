#include "cli/report/point_labels.hpp"

#include <catch2/catch.hpp>

#include "tests/support/blob.hpp"

using namespace lastwright;
using lastwright::test::Dice;

TEST_CASE("names of points that crowd lie off each other and off every point", "[point_labels]") {
  Dice dice(7);
  for (int k = 0; k < 20; ++k) {
    PointLabels labels(2.8);
    std::vector<Vec2> points;
    for (int n = 0; n < 6; ++n) points.push_back({dice(0.0, 12.0), dice(0.0, 12.0)});
    for (const Vec2 p : points) labels.add(p, "lining wing foot");
    const Box2 heading{{-40.0, -12.0}, {60.0, -4.0}};
    labels.keep_off(heading);
    const Box2 paper{{-40.0, -40.0}, {55.0, 40.0}};
    labels.keep_within(paper);
    labels.keep_off(Vec2{20.0, -100.0}, Vec2{20.0, 100.0});
    const std::vector<PointLabel> placed = labels.place();
    REQUIRE(placed.size() == points.size());
    for (std::size_t i = 0; i < placed.size(); ++i) {
      const Box2& box = placed[i].box;
      CHECK_FALSE(box.overlaps(heading));
      CHECK((box.low.x >= paper.low.x && box.high.x <= paper.high.x));
      CHECK((box.low.y >= paper.low.y && box.high.y <= paper.high.y));
      CHECK_FALSE((box.low.x <= 20.0 && box.high.x >= 20.0));
      for (const Vec2 p : points) CHECK_FALSE(box.overlaps(Box2{p, p}.grown(0.8)));
      for (std::size_t j = 0; j < i; ++j) CHECK_FALSE(box.overlaps(placed[j].box));
      CHECK(placed[i].point == points[i]);
      CHECK((placed[i].apart || distance(placed[i].elbow, points[i]) < 2.0));
    }
  }
}
