#include "grading/readings/reading_likelihood.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("a reading's chances over all it may be noted as add up to one", "[likelihood]") {
  test::holds_for_all("the chances of all readings add up to one", [] {
    const double step = 0.05 * *rc::gen::inRange(1, 40);
    const double spread = 0.05 * *rc::gen::inRange(2, 40);
    const double expected = 0.01 * *rc::gen::inRange(-100, 100);
    ReadingNoise noise{spread, 0.06, 0.0};  // without slips: those are spread over 80 mm, not over all
    double sum = 0.0;
    for (double at = -80.0; at < 80.0; at += step)
      sum += std::exp(chance_of({at, at + step}, expected, noise).log_chance);
    RC_ASSERT(std::abs(sum - 1.0) < 1e-9);
  });
}

TEST_CASE("slope and shares of a reading's chance are those of its logarithm", "[likelihood]") {
  test::holds_for_all("slope and shares are those of the logarithm", [] {
    const double middle = 0.01 * *rc::gen::inRange(-500, 500);
    const double half = 0.01 * *rc::gen::inRange(1, 80);
    const ReadingNoise noise{0.1 * *rc::gen::inRange(2, 12), 0.02, 0.002};
    const ReadingInterval reading{middle - half, middle + half};
    const double h = 1e-4;
    const double up = chance_of(reading, h, noise).log_chance;
    const double down = chance_of(reading, -h, noise).log_chance;
    const ReadingChance at = chance_of(reading, 0.0, noise);
    RC_ASSERT(std::abs(at.slope - (up - down) / (2.0 * h)) < 1e-5 * (1.0 + std::abs(at.slope)));
    RC_ASSERT(at.weight >= kLeastWeight);
    RC_ASSERT(at.narrow >= 0.0 && at.narrow <= 1.0);
  });
}

TEST_CASE("a slip costs so much and no more", "[likelihood]") {
  const ReadingNoise noise;
  const double far = chance_of({30.0, 30.5}, 0.0, noise).log_chance;
  CHECK(far == Approx(std::log(0.002 * 0.5 / 80.0)));
  CHECK(chance_of({60.0, 60.5}, 0.0, noise).log_chance == Approx(far));
  CHECK(std::isfinite(chance_of({1e6, 1e6 + 0.5}, 0.0, noise).log_chance));
  // Both tails alike, to the last digits.
  CHECK(normal_between(10.0, 11.0) == normal_between(-11.0, -10.0));
  CHECK(normal_between(10.0, 11.0) * 1e24 == Approx(7.61966195820).epsilon(1e-9));
}
