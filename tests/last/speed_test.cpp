// Time and error of each measure on the demo last. Not run by default: last_tests "[.speed]"
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>

#include "grading/lasts/last_definitions.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

TEST_CASE("time and error of each girth", "[.speed]") {
  const StandingLast& last = demo_standing();
  const Form form = make_form(last.body);
  for (const auto& set : {default_last_definitions(), tilt_definitions(), string_definitions()}) {
    for (const MeasureDefinition& d : set) {
      const bool girth = d.method == Method::kPlaneHull;
      if (!girth && d.method != Method::kPlaneHullTilt && d.method != Method::kTautString) continue;
      const int times = girth ? 200 : 2;
      const auto start = std::chrono::steady_clock::now();
      Result<Measured> m = measure(d, form, last.landmarks);
      for (int i = 1; i < times; ++i) m = measure(d, form, last.landmarks);
      const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
      REQUIRE(m.ok());
      std::string error;
      if (girth) {
        // The same plane cut a hundred times finer, corrected to fourth order: the limit of the method.
        const Section fine = cut_section(form, *m->plane, {1e-5, 24});
        error = fmt::format(", {:+.6f} mm off the finest section", m->value - tape_of(fine).length);
      }
      fmt::print("{:<40} {:9.3f} ms{}\n", m->definition, took.count() / times, error);
    }
  }
}
