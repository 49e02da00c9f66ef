#include "cli/listing/printed_limit.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("a reading within the printed limits is within the limits, and no more than 0.1 mm is given away",
          "[table]") {
  test::holds_for_all("wanted - below <= printed lowest < that + 0.1 mm, and likewise above", [] {
    const auto drawn = [](int low, int high) { return *rc::gen::inRange(low, high) / 1000.0; };
    const double wanted = drawn(50'000, 400'000);
    const std::optional<Limit> limit = Limit{drawn(0, 5'000), drawn(0, 5'000), "the law"};
    const double lowest = std::get<Figure>(printed_lowest(limit, wanted)).value;
    const double highest = std::get<Figure>(printed_highest(limit, wanted)).value;
    RC_ASSERT(lowest > wanted - limit->below - 1e-6);
    RC_ASSERT(lowest < wanted - limit->below + 0.1);
    RC_ASSERT(highest < wanted + limit->above + 1e-6);
    RC_ASSERT(highest > wanted + limit->above - 0.1);
    RC_ASSERT(std::abs(10.0 * lowest - std::round(10.0 * lowest)) <
              1e-6);  // so printed without more rounding
  });
  CHECK(std::holds_alternative<std::monostate>(printed_lowest({}, 250.0)));
}
