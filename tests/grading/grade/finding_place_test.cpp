// Where a finding stands: its words hold each part that is known, in one order, and nothing else.
#include "grading/grade/finding_place.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("where a finding stands is put into words", "[finding_place]") {
  const SizeWidth at{{Fraction(13), "13"}, {Fraction(2), "H"}};
  CHECK(to_text(FindingPlace{}).empty());
  CHECK(where(at) == "size 13, width H");
  CHECK(to_text(FindingPlace(at, "vamp", {12.04, -3.46}, "14 mm from the rule")) ==
        "size 13, width H, of vamp, at (12.0, -3.5), 14 mm from the rule");
  FindingPlace one;
  one.width = "H";
  CHECK(to_text(one) == "width H");
  one = {};
  one.more = "size 8, width F";  // as an order has it
  CHECK(to_text(one) == "size 8, width F");
}

TEST_CASE("the words of a place hold every part that is known", "[finding_place][law]") {
  test::holds_for_all("the words are those of each part alone, in one order", [] {
    const auto name = [] { return *rc::gen::element<std::string>("", "8", "of vamp", "F, of vamp", "at"); };
    FindingPlace place;
    place.size = name();
    place.width = name();
    place.piece = name();
    if (*rc::gen::arbitrary<bool>())
      place.point = {*rc::gen::inRange(-9999, 9999) / 7.0, *rc::gen::inRange(-9999, 9999) / 7.0};
    place.more = name();
    const std::string words = to_text(place);
    RC_ASSERT(words.empty() == place.empty());
    std::string parts;
    const auto take = [&](auto FindingPlace::*part) {
      FindingPlace alone;
      alone.*part = place.*part;
      if (!alone.empty()) parts += (parts.empty() ? "" : ", ") + to_text(alone);
    };
    take(&FindingPlace::size);
    take(&FindingPlace::width);
    take(&FindingPlace::piece);
    take(&FindingPlace::point);
    take(&FindingPlace::more);
    RC_ASSERT(words == parts);
  });
}
