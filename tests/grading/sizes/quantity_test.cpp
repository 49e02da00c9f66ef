#include "grading/sizes/quantity.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("lengths are exact in millimetres", "[quantity]") {
  struct Case {
    const char* text;
    Fraction millimetres;
    bool has_unit;
  };
  const Case cases[] = {{"1/3 in", {127, 15}, true},
                        {"2/3 cm", {20, 3}, true},
                        {"1/4 in", {127, 20}, true},
                        {"5", 5, false},
                        {"5 mm", 5, true},
                        {"6.35mm", {127, 20}, true},
                        {"4 9/16 in", {9271, 80}, true},
                        {"1/4\"", {127, 20}, true},
                        {"1/4″", {127, 20}, true},
                        {"8½ in", {2159, 10}, true},
                        {"-1/2 in", {-127, 10}, true},
                        {"24.6 cm", 246, true}};
  for (const Case& one : cases) {
    INFO(one.text);
    const auto read = parse_quantity(one.text);
    REQUIRE(read);
    CHECK(read->millimetres == one.millimetres);
    CHECK(read->has_unit == one.has_unit);
    CHECK(read->written == one.text);
  }
}

TEST_CASE("lengths without sense are refused with a hint", "[quantity]") {
  for (const char* text : {"", "mm", "5 m", "5 inches", "five mm", "1/4 in in", "5mm mm", "1e3 mm"}) {
    INFO(text);
    CHECK_FALSE(parse_quantity(text));
  }
  CHECK(parse_quantity("6,35 mm").problem().message.find("decimal sign is a point") != std::string::npos);
}

TEST_CASE("inches are rounded to the asked fraction and shown in lowest terms", "[quantity]") {
  CHECK(to_inches(216.69375, 32) == "8 17/32");  // Golding 1902, male scale, instep of 5: 8 17/32 in
  CHECK(to_inches(215.9, 32) == "8 1/2");
  CHECK(to_inches(0.0, 32) == "0");
  CHECK(to_inches(-6.35, 32) == "-1/4");
  CHECK(to_inches(Fraction(127, 5 * 64), 32) == "1/32");  // 1/64 in, half a part: up, whatever its last bit
  CHECK(to_inches(Fraction(254), 32) == "10");
  CHECK(to_inches(Fraction(1905, 10), 32) == "7 1/2");
  CHECK(to_inches(Fraction(-254, 3), 96) == "-3 1/3");
  CHECK(to_inches(6.35 + 0.39, 32) == "1/4");             // 0.39 mm is just under 1/64 in
  CHECK(to_inches(6.35 + 0.40, 32) == "9/32");            // 0.40 mm is just over
}
