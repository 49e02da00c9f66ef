#include "cli/listing/printed_limit.hpp"

#include <catch2/catch.hpp>

#include "grading/readings/batch_report.hpp"
#include "grading/readings/gauge_step.hpp"
#include "grading/sizes/quantity.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// What is typed from the sheet, as the reader of a batch takes it.
Fraction typed(const ListingCell& cell, const NotedStep& step) {
  return parse_quantity(text_of(cell) + (step.inches ? " in" : " mm"))->millimetres;
}

}  // namespace

TEST_CASE("a sheet allows just those readings that a batch is judged within", "[table]") {
  std::size_t asked = 0;
  test::holds_for_all("at every step: allowed by the printed limits <=> judged to be within", [&] {
    const auto drawn = [](int low, int high) { return *rc::gen::inRange(low, high) / 1000.0; };
    const double wanted = drawn(50'000, 400'000);
    const std::optional<Limit> limit = Limit{drawn(0, 5'000), drawn(0, 5'000), "the law"};
    const NotedStep step = *rc::gen::element(
        noted_to(0.1, false), noted_to(0.25, false), noted_to(0.3, false), noted_to(0.5, false),
        noted_to(1.0, false), noted_to(2.0, false), noted_to(25.4 / 8, true), noted_to(25.4 / 10, true),
        noted_to(25.4 / 16, true), noted_to(25.4 / 32, true), noted_to(25.4 / 64, true));
    const PrintedLimits printed = printed_limits(limit, wanted, step);
    const Fraction lowest = typed(printed.lowest, step);
    const Fraction highest = typed(printed.highest, step);
    const double judged = noted_step(step.step, step.inches);
    const auto first =
        static_cast<std::int64_t>(std::floor((wanted - limit->below) / step.millimetres().value()) - 3);
    for (std::int64_t k = first; (step.millimetres() * Fraction(k - 3)).value() < wanted + limit->above;
         ++k) {
      const Fraction reading = step.millimetres() * Fraction(k);
      const bool within = verdict_of(reading.value() - wanted, limit, judged) == ReadingVerdict::kWithin;
      RC_ASSERT((lowest <= reading && reading <= highest) == within);
      ++asked;
    }
  });
  CHECK(asked > 500);
  CHECK(std::holds_alternative<std::monostate>(printed_limits({}, 250.0, noted_to(0.5, false)).lowest));
}

TEST_CASE("the step of a sheet is that of the readings made with it", "[table]") {
  CHECK(noted_to(0.5, false).step == Fraction(1, 2));
  CHECK(noted_to(25.4 / 16, true).step == Fraction(1, 16));
  CHECK(noted_to(1.0 / 3, false).step == Fraction(333, 1000));
  CHECK(noted_step(Fraction(1, 2), false) == 0.5);
  CHECK(noted_step(Fraction(2), false) == 1.0);          // whole millimetres
  CHECK(noted_step(Fraction(3, 10), false) == 0.1);      // tenths
  CHECK(noted_step(Fraction(1, 8), true) == 25.4 / 16);  // no coarser than sixteenths
  CHECK(limits_rule({noted_to(0.5, false)}).find("noted to 0.5 mm that is") != std::string::npos);
  CHECK(limits_rule({noted_to(0.3, false)}).find("0.3 mm as if to 0.1 mm") != std::string::npos);
}
