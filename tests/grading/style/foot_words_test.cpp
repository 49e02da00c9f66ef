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
  CHECK(foot_note("Boot", "right") ==
        "the drawings of Boot show the right foot: its pieces as drawn are R, mirrored L");
  CHECK(foot_note("Boot", "").find("Boot does not say which foot its drawings show (\"drawn_foot\"") == 0);
}
