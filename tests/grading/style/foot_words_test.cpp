#include "grading/style/foot_words.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("pieces are for L and R where the drawings show a stated foot", "[foot_words]") {
  CHECK(foot_words("left", false) == "L");
  CHECK(foot_words("left", true) == "R");
  CHECK(foot_words("right", false) == "R");
  CHECK(foot_words("right", true) == "L");
  CHECK(foot_words("", false) == "as drawn");
  CHECK(foot_words("", true) == "mirrored");
}
