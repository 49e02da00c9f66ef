// An offset outline is what its definition says, on every outline of the corpus: each point of a moved edge
// at its distance from that edge, no point nearer to any edge than asked, everything on the right side.
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"
#include "tests/support/outline_corpus.hpp"

using namespace lastwright;

namespace {

constexpr double kDistances[] = {0.3, 1.5, 4.0, 12.0, -0.3, -1.5, -4.0};
constexpr OffsetCorner kForms[] = {OffsetCorner::kMitre, OffsetCorner::kSquare, OffsetCorner::kStep,
                                   OffsetCorner::kRound};

// Distance from the whole line or circle a segment lies on: straight edges may run on to a mitre.
double from_carrier(const ArcSegment& s, Vec2 p) {
  // Without the centre, which is far away for an arc that is almost straight.
  const Vec2 w = p - s.a;
  const double k = s.curvature();
  const double f = 0.5 * k * dot(w, w) - dot(left_of(s.tangent_at(0.0)), w);
  return std::abs(2.0 * f / (1.0 + std::sqrt(1.0 + 2.0 * k * f)));
}

struct Worst {
  double off_edge = 0.0;  // of a moved edge from its distance
  double too_near = 0.0;  // of any point to any edge
  int wrong_side = 0;
};

Worst measured(const ClosedArcPath& source, double d, const OffsetOutline& result) {
  Worst worst;
  for (std::size_t i = 0; i < result.path.size(); ++i) {
    const ArcSegment s = result.path.segment(i);
    for (int k = 1; k <= 9; ++k) {
      const Vec2 p = s.point_at(k / 10.0);
      const OffsetSource& from = result.source[i];
      if (!from.corner)
        worst.off_edge =
            std::max(worst.off_edge, std::abs(from_carrier(source.segment(from.segment), p) - std::abs(d)));
      worst.too_near = std::max(worst.too_near, std::abs(d) - distance_to(source, p));
      worst.wrong_side += contains(source, p) != (d < 0.0);
    }
  }
  return worst;
}

}  // namespace

TEST_CASE("every point of an offset has its distance, none is nearer, all are on the right side",
          "[offset]") {
  int built = 0;
  for (const test::NamedOutline& outline : test::outline_corpus()) {
    for (double d : kDistances) {
      for (OffsetCorner form : kForms) {
        // A step ends at the corner itself: only its moved edges keep their distance.
        const bool step = form == OffsetCorner::kStep;
        INFO(outline.name << " by " << d << ", treatment " << static_cast<int>(form));
        OffsetOptions options;
        options.corner = form;
        const Result<OffsetOutline> result = offset(outline.path, Millimetres(d), options);
        if (!result) continue;
        ++built;
        const SimpleOptions loose{Millimetres(1e-9), Millimetres(0.0), true};
        CHECK(check_simple(result->path, loose).ok());
        REQUIRE(result->source.size() == result->path.size());
        const Worst worst = measured(outline.path, d, *result);
        CHECK(worst.off_edge < 1e-6);
        if (!step) CHECK(worst.too_near < 1e-6);
        if (!step) CHECK(worst.wrong_side == 0);
      }
    }
  }
  CHECK(built > 400);  // of 588: the rest are refused, see below
}

TEST_CASE("a refused offset names a distance that can be built, and little more cannot", "[offset]") {
  int refused = 0;
  for (const test::NamedOutline& outline : test::outline_corpus()) {
    for (double d : kDistances) {
      const Result<OffsetOutline> result = offset(outline.path, Millimetres(d));
      if (result) continue;
      ++refused;
      INFO(outline.name << " by " << d << ": " << to_text(result.problem()));
      REQUIRE(result.problem().value.has_value());
      REQUIRE(result.problem().limit.has_value());
      CHECK(*result.problem().value == std::abs(d));
      const double limit = *result.problem().limit;
      CHECK(limit < std::abs(d));
      CHECK(offset(outline.path, Millimetres(std::copysign(limit, d))).ok());
      CHECK_FALSE(offset(outline.path, Millimetres(std::copysign(limit + 1.001e-3 * std::abs(d), d))).ok());
      CHECK(result.problem().message.find(" at (") != std::string::npos);
    }
  }
  CHECK(refused > 5);
}

TEST_CASE("known limits: half the waist, half the throat, half the air between the turns", "[offset]") {
  struct Case {
    const char* name;
    double asked;
    double limit;
  };
  for (const Case& c : {Case{"narrow-neck", -4.0, 2.0}, Case{"tight-throat", 4.0, 2.5},
                        Case{"slot", -6.0, 5.0}, Case{"circle", -12.0, 10.0}}) {
    for (const test::NamedOutline& outline : test::outline_corpus()) {
      if (outline.name != c.name) continue;
      INFO(c.name);
      const Result<OffsetOutline> result = offset(outline.path, Millimetres(c.asked));
      REQUIRE_FALSE(result.ok());
      CHECK(std::abs(*result.problem().limit - c.limit) < 1.1e-3 * std::abs(c.asked));
    }
  }
}

TEST_CASE("a pocket is filled when asked, and named", "[offset]") {
  for (const test::NamedOutline& outline : test::outline_corpus()) {
    if (outline.name != "tight-throat") continue;
    OffsetOptions options;
    options.fill_pockets = true;
    const Result<OffsetOutline> result = offset(outline.path, Millimetres(4.0), options);
    REQUIRE(result.ok());
    CHECK(result->filled.size() == 1);
    CHECK(signed_area(result->path) == Approx(88.0 * 58.0));
  }
}

TEST_CASE("out and back in contains, areas grow with the distance", "[offset]") {
  for (const test::NamedOutline& outline : test::outline_corpus()) {
    INFO(outline.name);
    OffsetOptions options;
    options.fill_pockets = true;
    double last = signed_area(outline.path);
    for (double d : {0.2, 0.7, 2.0, 6.0}) {
      const Result<OffsetOutline> out = offset(outline.path, Millimetres(d), options);
      REQUIRE(out.ok());
      CHECK(signed_area(out->path) > last);
      last = signed_area(out->path);
      OffsetOptions round = options;
      round.corner = OffsetCorner::kRound;
      const Result<OffsetOutline> back = offset(out->path, Millimetres(-d), round);
      INFO("by " << d << (back ? std::string() : to_text(back.problem())));
      if (!back) {
        // Known shortcoming: going back by exactly the same distance brings steps of a hundredth of a
        // millimetre into coincidence, and the winding rule cannot tell them apart. Refused with a reason,
        // never built wrong.
        CHECK(outline.name == "tiny-segments");
        CHECK(d == 2.0);
        continue;
      }
      // Closing up never takes away: the outline lies inside what comes back, up to rounding.
      for (std::size_t i = 0; i < outline.path.size(); ++i) {
        const Vec2 p = outline.path.segment(i).point_at(0.5);
        CHECK((contains(back->path, p) || distance_to(back->path, p) < 1e-5));
      }
    }
  }
}
