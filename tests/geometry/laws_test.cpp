// The wrapper of laws itself: what it must not let pass.
#include "tests/support/laws.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

namespace {

template <class Law>
test::LawRun law_run(Law&& law) {
  return test::run_law("of a number", rc::detail::toProperty(std::forward<Law>(law)), 100);
}

}  // namespace

TEST_CASE("a law that returns before it asserts says nothing", "[laws]") {
  const test::LawRun silent = law_run([] {
    const int drawn = *rc::gen::arbitrary<int>();
    if (drawn % 2 < 5) return;
    RC_ASSERT(drawn == drawn + 1);
  });
  CHECK(silent.holds);
  CHECK(silent.reached == 0);
  CHECK_FALSE(silent.says_enough());

  const test::LawRun half = law_run([] {
    const int drawn = *rc::gen::inRange(0, 1000);
    if (drawn % 2 == 0) return;
    RC_ASSERT_FALSE(drawn == 0);
  });
  CHECK(half.reached > 20);
  CHECK(half.reached < 80);
  CHECK(half.says_enough());
}

TEST_CASE("a law says enough by its verdict, and fails as it did", "[laws]") {
  const test::LawRun returned = law_run([] {
    const int drawn = *rc::gen::inRange(0, 1000);
    return drawn >= 0;
  });
  CHECK(returned.holds);
  CHECK(returned.reached == 100);

  const test::LawRun asserted = law_run([] { RC_ASSERT(*rc::gen::inRange(0, 1000) < 5000); });
  CHECK(asserted.holds);
  CHECK(asserted.reached == 100);

  const test::LawRun broken = law_run([] { RC_ASSERT(*rc::gen::inRange(0, 1000) < 500); });
  CHECK_FALSE(broken.holds);
  CHECK(broken.told.find("500") != std::string::npos);
}
