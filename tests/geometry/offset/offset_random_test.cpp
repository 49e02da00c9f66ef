// Relations that hold for any outline, over random ones.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// Vertices at rising angles about the origin, joined by lines and arcs. Not every one is simple.
rc::Gen<ClosedArcPath> outlines() {
  return rc::gen::exec([] {
    ClosedArcPath path;
    const int count = *rc::gen::inRange(3, 24);
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 70) / 100.0) / count;
      const double r = *rc::gen::inRange(1500, 6000) / 100.0;
      const double bulge = *rc::gen::element(0.0, 0.0, 0.1, -0.1, 0.35, -0.5, 1e-5);
      path.vertices.push_back({{1.6 * r * std::cos(angle), r * std::sin(angle)}, bulge});
    }
    return path;
  });
}

bool proper(const ClosedArcPath& path) {
  SimpleOptions apart;
  apart.touch = Millimetres(1e-3);
  apart.shortest = Millimetres(0.05);
  return check_simple(path, apart).ok();
}

}  // namespace

TEST_CASE("random outlines offset by the definition", "[offset][random]") {
  int built = 0;
  int asked = 0;
  test::holds_for_all("each point of an offset is at its distance, on its side", [&] {
    const ClosedArcPath path = *outlines();
    RC_PRE(proper(path));
    const double d = *rc::gen::inRange(-400, 1500) / 100.0;
    RC_PRE(d != 0.0);
    OffsetOptions options;
    options.corner = *rc::gen::element(OffsetCorner::kMitre, OffsetCorner::kSquare, OffsetCorner::kRound);
    options.fill_pockets = true;
    ++asked;
    const Result<OffsetOutline> result = offset(path, Millimetres(d), options);
    if (!result) {
      RC_ASSERT(d < 0.0);  // outward there is always an answer
      RC_ASSERT(result.problem().message.find("cannot be built") == std::string::npos);
      return;
    }
    ++built;
    RC_ASSERT((signed_area(result->path) > signed_area(path)) == (d > 0.0));
    for (std::size_t i = 0; i < result->path.size(); ++i) {
      for (double t : {0.1, 0.5, 0.8}) {
        const Vec2 p = result->path.segment(i).point_at(t);
        RC_ASSERT(distance_to(path, p) > std::abs(d) - 1e-6);
        RC_ASSERT(contains(path, p) == (d < 0.0));
        if (options.corner == OffsetCorner::kRound) RC_ASSERT(distance_to(path, p) < std::abs(d) + 1e-6);
      }
    }
  });
  CHECK(built > asked / 2);
}

TEST_CASE("random allowances per edge: more allowance, more piece", "[offset][random]") {
  test::holds_for_all("a larger allowance contains a smaller one", [] {
    const ClosedArcPath path = *outlines();
    RC_PRE(proper(path));
    std::vector<Millimetres> small;
    std::vector<Millimetres> large;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const double d = *rc::gen::element(0.0, 1.5, 5.0, 12.0);
      small.emplace_back(d);
      large.emplace_back(d + 1.0);
    }
    OffsetOptions options;
    options.fill_pockets = true;
    options.corner = OffsetCorner::kRound;
    const Result<OffsetOutline> one = offset(path, small, options);
    const Result<OffsetOutline> two = offset(path, large, options);
    if (!one || !two) {
      for (std::size_t i = 0; i < path.size(); ++i) {
        const ArcVertex& v = path.vertices[i];
        RC_LOG() << v.at.x << " " << v.at.y << " " << v.bulge << "   by " << small[i].value() << "\n";
      }
      RC_LOG() << to_text(!one ? one.problem() : two.problem()) << "\n";
    }
    RC_ASSERT(one.ok());
    RC_ASSERT(two.ok());
    for (std::size_t i = 0; i < one->path.size(); ++i) {
      const Vec2 p = one->path.segment(i).point_at(0.5);
      RC_ASSERT((contains(two->path, p) || distance_to(two->path, p) < 1e-6));
    }
    for (std::size_t i = 0; i < path.size(); ++i) {
      const Vec2 p = path.segment(i).point_at(0.5);
      RC_ASSERT((contains(one->path, p) || distance_to(one->path, p) < 1e-6));
    }
  });
}
