#include "grading/style/foot_words.hpp"

#include <catch2/catch.hpp>

#include "grading/style/drawn_feet.hpp"

using namespace lastwright;

TEST_CASE("pieces are for L and R where the drawings show a stated foot", "[foot_words]") {
  CHECK(foot_words("left", false) == "L");
  CHECK(foot_words("left", true) == "R");
  CHECK(foot_words("right", false) == "R");
  CHECK(foot_words("right", true) == "L");
  for (const char* foot : {"", "both"}) {
    CHECK(foot_words(foot, false) == "as drawn");
    CHECK(foot_words(foot, true) == "mirrored");
  }
  StyleSpec style;
  style.name = "Boot";
  style.drawn_foot = "right";
  style.pieces.resize(2);
  style.pieces[0].name = "quarter";
  style.pieces[1].name = "strap";
  CHECK(feet_note(style, {"quarter", "strap"}) ==
        "the drawings of Boot show the right foot: its pieces as drawn are R, mirrored L");
  CHECK(feet_note(style, {}).empty());
  style.pieces[1].drawn_foot = "left";
  CHECK(drawn_foot_of(style, "quarter") == "right");
  CHECK(drawn_foot_of(style, "strap") == "left");
  CHECK(feet_note(style, {"strap"}) ==
        "the drawings of Boot show the left foot: its pieces as drawn are L, mirrored R");
  style.drawn_foot.clear();
  CHECK(feet_note(style, {"quarter"})
            .starts_with("Boot does not say which foot its drawings show (\"drawn_foot\""));
  CHECK(feet_note(style, {"quarter", "strap"}) ==
        "Boot: the left foot is drawn of strap: as drawn is L, mirrored R; which foot is drawn of quarter is "
        "not said "
        "(\"drawn_foot\"), so they are called as drawn and mirrored, not L and R");
}
