#include "grading/sizes/fraction.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <numeric>
#include <utility>

#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

Fraction some_fraction() {
  return {*rc::gen::inRange<std::int64_t>(-200000, 200001), *rc::gen::inRange<std::int64_t>(1, 5000)};
}

}  // namespace

TEST_CASE("a fraction is read as the trade writes it", "[fraction]") {
  struct Case {
    const char* text;
    Fraction value;
    const char* mixed;
    const char* decimal;
  };
  const Case cases[] = {{"8", 8, "8", "8"},
                        {"-3", -3, "-3", "-3"},
                        {"8.5", {17, 2}, "8 1/2", "8.5"},
                        {"8.50", {17, 2}, "8 1/2", "8.5"},
                        {"0.0625", {1, 16}, "1/16", "0.0625"},
                        {"1/3", {1, 3}, "1/3", "1/3"},
                        {"8 1/3", {25, 3}, "8 1/3", "8 1/3"},
                        {"-8 1/3", {-25, 3}, "-8 1/3", "-8 1/3"},
                        {"8½", {17, 2}, "8 1/2", "8.5"},
                        {"⅔", {2, 3}, "2/3", "2/3"},
                        {"4 9/16", {73, 16}, "4 9/16", "4.5625"},
                        {"6/4", {3, 2}, "1 1/2", "1.5"},
                        {"-0.05", {-1, 20}, "-1/20", "-0.05"},
                        {"999999999", 999999999, "999999999", "999999999"}};
  for (const Case& one : cases) {
    INFO(one.text);
    const auto read = parse_fraction(one.text);
    REQUIRE(read);
    CHECK(*read == one.value);
    CHECK(to_mixed(*read) == one.mixed);
    CHECK(to_decimal(*read) == one.decimal);
  }
}

TEST_CASE("decimals as a script writes them are read to nine", "[fraction]") {
  // 25.4 / 12, and what carries over from the tenth decimal.
  for (const auto& [text, value] :
       {std::pair<const char*, Fraction>{"2.1166666666666667", {2116666667, 1000000000}},
        {"0.1234567890", {123456789, 1000000000}},
        {"0.08333333333333333", {83333333, 1000000000}},
        {"-7.9999999999", {-8, 1}},
        {"0.00000000049999", {0, 1}},
        {"1.0000000005", {1000000001, 1000000000}}}) {
    INFO(text);
    REQUIRE(parse_fraction(text));
    CHECK(*parse_fraction(text) == value);
    CHECK(std::abs(parse_fraction(text)->value() - std::strtod(text, nullptr)) <= 5.01e-10);
  }
  CHECK(parse_fraction("1." + std::string(40, '3')));
  CHECK_FALSE(parse_fraction("1." + std::string(41, '3')));
}

TEST_CASE("what is not exactly a fraction is refused", "[fraction]") {
  for (const char* text :
       {"",    "-",      "8,5",        "8.", ".5", "1/0", "1//2", "8 5/3", "8 1", "1e3", "+3",
        "--3", "8 1/3x", "1234567890", "½8", "½½", "nan", "inf",  "0x10",  "8 ",  " 8",  "8/-3"}) {
    INFO(text);
    const auto read = parse_fraction(text);
    REQUIRE_FALSE(read);
    CHECK(read.problem().trouble == Trouble::kBadValue);
  }
  CHECK(parse_fraction("8,5").problem().message.find("point") != std::string::npos);
}

TEST_CASE("arithmetic obeys the field laws and agrees with doubles", "[fraction]") {
  test::holds_for_all("fractions obey the laws of a field", [] {
    const Fraction a = some_fraction();
    const Fraction b = some_fraction();
    const Fraction c = some_fraction();
    RC_ASSERT(a + b == b + a);
    RC_ASSERT((a + b) - b == a);
    RC_ASSERT(a * b == b * a);
    if (b != 0) RC_ASSERT(a / b * b == a);
    RC_ASSERT((a < b) == (a - b < 0));
    RC_ASSERT(std::abs((a * c).value() - a.value() * c.value()) <=
              1e-12 * (1.0 + std::abs(a.value() * c.value())));
    RC_ASSERT(std::gcd(a.numerator(), a.denominator()) == 1);
    RC_ASSERT(a.denominator() > 0);
  });
  test::holds_for_all("a fraction comes back from its text and is rounded to the nearest", [] {
    const Fraction a = some_fraction();
    RC_ASSERT(*parse_fraction(to_mixed(a)) == a);
    RC_ASSERT(Fraction(a.floor()) <= a);
    RC_ASSERT(a < Fraction(a.floor()) + 1);
    const Fraction rounded = round_to(a, Fraction(1, 32));
    RC_ASSERT((rounded * 32).denominator() == 1);
    const Fraction off = rounded - a;
    RC_ASSERT(off <= Fraction(1, 64));
    RC_ASSERT(Fraction(-1, 64) <= off);
    RC_ASSERT(round_to(-a, Fraction(1, 32)) == -rounded);
  });
}

TEST_CASE("decimals are rounded exactly, halves away from zero", "[fraction]") {
  // 224.775 and 231.125 mm are 8 17/20 in and so on: exact halves of a last digit, which binary numbers hold
  // a little above or below.
  CHECK(to_places(*parse_fraction("224.775"), 2) == "224.78");
  CHECK(to_places(*parse_fraction("231.125"), 2) == "231.13");
  CHECK(to_places(*parse_fraction("-231.125"), 2) == "-231.13");
  CHECK(to_places(Fraction(2, 3), 2) == "0.67");
  CHECK(to_places(Fraction(-1, 1000), 2) == "0.00");
  CHECK(to_places(Fraction(5, 2), 0) == "3");
  CHECK(to_places(Fraction(999), 3) == "999.000");
  CHECK(to_places(*parse_fraction("0.9995"), 3) == "1.000");
}

TEST_CASE("64 bits are never left in silence", "[fraction]") {
  const Fraction huge(std::int64_t{1} << 62);
  CHECK_THROWS_AS(huge * huge, InvariantBroken);
  CHECK_THROWS_AS(huge + huge, InvariantBroken);
  CHECK_THROWS_AS(Fraction(1) / Fraction(0), InvariantBroken);
  CHECK((huge < Fraction((std::int64_t{1} << 62) - 1, 3)) == false);
}
