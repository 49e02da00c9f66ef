// How a problem is told, with its family and without.
#include "geometry/problem.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("a problem is told with its place, its value and its limit, and its family last", "[problem]") {
  Problem problem = bad_value("the text [8] does not fit");
  CHECK(plain_text(problem) == "the text [8] does not fit");
  CHECK(to_text(problem) == "the text [8] does not fit [bad value]");
  problem.trouble = Trouble::kGeometry;
  problem.place = {"shell.dxf", 120, "/pieces/0", {{"piece", "vamp"}, {"edge", "lasting"}}};
  problem.value = 12.0;
  problem.limit = 9.31;
  CHECK(plain_text(problem) ==
        "shell.dxf:120: at /pieces/0: piece vamp, edge lasting: the text [8] does not fit (found 12, limit "
        "9.31)");
  for (const Trouble trouble : {Trouble::kUsage, Trouble::kGeometry, Trouble::kInternal}) {
    problem.trouble = trouble;
    CHECK(to_text(problem) == plain_text(problem) + " [" + name_of(trouble) + "]");
  }
}
