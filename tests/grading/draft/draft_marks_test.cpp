// What texts of a drawing say in a draft: the places of points, the names of pieces.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "grading/style/forme_lookup.hpp"
#include "tests/support/drafted.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

std::string marked(const std::string& entity, const char* name, Vec2 at) {
  return tags(fmt::format("0 {}|8 MARKS|10 {}|20 {}|0 TEXT|8 MARKS|10 {}|20 {}|40 2.5|1 {}", entity, at.x,
                          at.y, at.x + 2, at.y, name));
}

bool lost(const Draft& draft, const std::string& words) {
  return std::any_of(draft.lost.begin(), draft.lost.end(),
                     [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a mark is a point's place, or why it is not is said", "[draft][marks]") {
  const std::string joint = marked("POINT", "JOINT", {160, -6.5});
  const Draft taken = court_draft({}, court_upper(), "1", joint);
  CHECK(taken.lost.empty());
  CHECK(drawn_place(taken.style.formes[0], "joint") == Vec2{160, -6.5});
  const auto& references = taken.style.references;
  CHECK(std::any_of(references.begin(), references.end(), [](const PointReference& one) {
    return one.pointer == "/formes/shell/points/joint" && one.stated == R"({"mark":"JOINT"})";
  }));
  CHECK(taken.accounts.front().left_out_in_all() == 0);
  const Draft twice = court_draft({}, court_upper(), "1", joint + marked("POINT", "JOINT", {150, -6}));
  CHECK(lost(twice, "are named joint, (160.000, -6.500) and (150.000, -6.000), and neither is taken"));
  CHECK_FALSE(proposes(twice, "the point joint is marked"));
  const Draft off = court_draft({}, court_upper(), "1", marked("POINT", "HEEL", {4, 3}));
  CHECK(lost(off, "the mark heel at (4.000, 3.000) is not taken"));
  CHECK_FALSE(proposes(off, "the point heel is marked"));
  CHECK(drawn_place(off.style.formes[0], "heel") == Vec2{0, 0});
}

TEST_CASE("a piece goes by a text that names a part, and two loose lines are no outline", "[draft]") {
  const auto text = [](double x, double y, const char* said) {
    return tags(fmt::format("0 TEXT|8 1|10 {}|20 {}|40 3|1 {}", x, y, said));
  };
  const auto line = [](double y) { return tags(fmt::format("0 LINE|8 1|10 60|20 {0}|11 80|21 {0}", y)); };
  const std::string plate = tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 120|20 0|10 120|20 70|10 0|20 50");
  const Draft named = draft_of(drawing(plate + text(10, 10, "CUT 2 PAIRS") + text(10, 20, "37") +
                                       text(10, 30, "TOP") + text(10, 40, "VAMP") + line(20) + line(22)));
  REQUIRE(named.style.pieces.size() == 1);
  CHECK(named.style.pieces.front().name == "vamp");
  CHECK(named.lost.empty());
  const Draft numbered = draft_of(drawing(plate + text(10, 20, "37") + text(10, 30, "Cut 2 pairs")));
  CHECK(numbered.style.pieces.front().name == "piece-1");
}
