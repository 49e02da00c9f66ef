// Allowances taken away from a drawn cut line, hollow corners mitred far out: the net line lies inside.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"

using namespace lastwright;

TEST_CASE("an edge beside a slight hollow corner never leads out of the piece", "[offset]") {
  for (const double turn : {0.3, 0.1, 0.05, 0.03, 0.02, 0.01, 0.003, 0.001}) {
    for (const double d : {0.3, 1.3, 4.0}) {
      for (const bool first : {true, false}) {
        // Along the top two straight edges with the hollow corner between; one of them has an allowance.
        const Vec2 corner{0.0, 30.0};
        const ClosedArcPath path{{{{-50.0, 0.0}, 0.0},
                                  {{45.0, 0.0}, 0.0},
                                  {corner + 42.0 * Vec2{std::cos(turn), std::sin(turn)}, 0.0},
                                  {corner, 0.0},
                                  {{-48.0, 30.0}, 0.0}}};
        REQUIRE(check_simple(path).ok());
        std::vector<Millimetres> distances(5, Millimetres(0.0));
        distances[first ? 2 : 3] = Millimetres(-d);
        OffsetOptions far;
        far.mitre_limit = 100.0;
        const Result<OffsetOutline> net = offset(path, distances, far);
        CAPTURE(turn, d, first);
        REQUIRE(net.ok());
        CHECK(signed_area(net->path) < signed_area(path));
        for (std::size_t i = 0; i < net->path.size(); ++i) {
          const ArcSegment s = net->path.segment(i);
          CHECK((contains(path, s.a) || distance_to(path, s.a) < 1e-9));
          CHECK((contains(path, s.point_at(0.5)) || distance_to(path, s.point_at(0.5)) < 1e-9));
        }
        // The other way round the edges of the drawn line come back.
        std::vector<Millimetres> back;
        for (const OffsetSource& source : net->source) back.emplace_back(-distances[source.segment].value());
        const Result<OffsetOutline> cut = offset(net->path, back);
        REQUIRE(cut.ok());
        for (std::size_t i = 0; i < cut->path.size(); ++i) {
          const OffsetSource& from = net->source[cut->source[i].segment];
          if (cut->source[i].corner || from.corner) continue;
          const ArcSegment edge = path.segment(from.segment);  // or the line it runs on along
          CHECK(std::abs(cross(edge.start_tangent(), cut->path.segment(i).point_at(0.5) - edge.a)) < 1e-9);
        }
      }
    }
  }
}
