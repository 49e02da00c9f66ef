#include "grading/readings/statistics.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

using namespace lastwright;

// Printed tables of Student's t and chi-squared as every statistics book has them; tests/outside compares
// many more points with scipy.
TEST_CASE("quantiles agree with the printed tables", "[statistics]") {
  struct Case {
    double p;
    double freedom;
    double printed;
  };
  for (const Case& one : {Case{0.975, 1, 12.706},
                          {0.975, 2, 4.303},
                          {0.975, 5, 2.571},
                          {0.975, 10, 2.228},
                          {0.975, 30, 2.042},
                          {0.95, 4, 2.132},
                          {0.995, 8, 3.355},
                          {0.9995, 3, 12.924}}) {
    CHECK(student_t_quantile(one.p, one.freedom) == Approx(one.printed).margin(6e-4));
    CHECK(student_t_quantile(1.0 - one.p, one.freedom) == Approx(-one.printed).margin(6e-4));
  }
  for (const Case& one : {Case{0.95, 1, 3.841},
                          {0.95, 5, 11.070},
                          {0.05, 5, 1.145},
                          {0.975, 10, 20.483},
                          {0.025, 10, 3.247},
                          {0.99, 30, 50.892}}) {
    CHECK(chi_squared_quantile(one.p, one.freedom) == Approx(one.printed).margin(6e-4));
  }
}

TEST_CASE("a quantile is the inverse of its distribution", "[statistics]") {
  for (const double freedom : {1.0, 2.0, 3.5, 17.0, 250.0, 1e5}) {
    for (const double p : {1e-6, 0.001, 0.2, 0.5, 0.77, 0.999}) {
      CHECK(student_t_cdf(student_t_quantile(p, freedom), freedom) == Approx(p).epsilon(1e-9));
      CHECK(chi_squared_cdf(chi_squared_quantile(p, freedom), freedom) == Approx(p).epsilon(1e-9));
    }
    CHECK(two_sided_p(student_t_quantile(0.975, freedom), freedom) == Approx(0.05).epsilon(1e-9));
  }
}

// Worked by hand: 1 2 3 4 5 has mean 3 and standard deviation sqrt(2.5).
TEST_CASE("a summary has its interval", "[statistics]") {
  const std::vector<double> values{1, 2, 3, 4, 5};
  const Summary summary = summarise(values, 0.95);
  CHECK(summary.mean == Approx(3.0));
  CHECK(summary.spread == Approx(std::sqrt(2.5)));
  CHECK(summary.mean_high - 3.0 == Approx(2.776445 * std::sqrt(0.5)).epsilon(1e-6));
  CHECK(summary.spread_low == Approx(std::sqrt(10.0 / 11.143287)).epsilon(1e-6));
  CHECK(summary.spread_high == Approx(std::sqrt(10.0 / 0.484419)).epsilon(1e-5));
  CHECK(std::isinf(summarise(std::vector<double>{7.0}, 0.95).mean_high));
  CHECK(summarise({}, 0.95).count == 0);
  CHECK(median(std::vector<double>{4, 1, 3, 2}) == 2.5);
  CHECK(robust_spread(std::vector<double>{1, 2, 3, 4, 1000}) == Approx(1.4826));
}
