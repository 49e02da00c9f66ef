// A value or all problems in its place: never both, never neither.
#include "geometry/checked.hpp"

#include <catch2/catch.hpp>
#include <memory>
#include <string>

using namespace lastwright;

TEST_CASE("what was checked has a value or keeps every problem in its order", "[checked]") {
  Checked<std::string> good = std::string("a value");
  CHECK((good.ok() && good && good.problems().empty()));
  CHECK(*good == "a value");
  CHECK(good->size() == 7);
  CHECK(*std::move(good) == "a value");

  const Checked<std::string> one = bad_value("first");
  CHECK((!one.ok() && one.problems().size() == 1));
  const Checked<std::unique_ptr<int>> two = std::vector<Problem>{bad_value("first"), bad_value("second")};
  REQUIRE(two.problems().size() == 2);
  CHECK((two.problems()[0].message == "first" && two.problems()[1].message == "second"));
  CHECK_THROWS_AS(*two, InvariantBroken);
  CHECK_THROWS_AS(Checked<int>(std::vector<Problem>{}), InvariantBroken);  // held back for no reason
}
