#include "grading/sizes/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/sizes/plain_decimal.hpp"
#include "tests/support/laws.hpp"

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
  for (const char* text : {"", "mm", "5 m", "5 inches", "five mm", "1/4 in in", "5mm mm", "1e mm", "e3",
                           "1e1e1 mm", "1e-99 mm"}) {
    INFO(text);
    CHECK_FALSE(parse_quantity(text));
  }
  CHECK(parse_quantity("6,35 mm").problem().message.find("decimal sign is a point: write \"6.35 mm\"") !=
        std::string::npos);
  CHECK(parse_quantity("1,000,5").problem().message.find("decimal sign is a point: write \"6.35 mm\"") !=
        std::string::npos);
}

TEST_CASE("a decimal with an exponent is the decimal that it stands for", "[quantity][law]") {
  test::holds_for_all("digits moved by an exponent", [] {
    // The same digits with the point at two places; the exponent makes up for it.
    const std::string sign = *rc::gen::element<std::string>("", "-");
    const std::string digits = std::to_string(*rc::gen::inRange(1, 99999));
    const int places = *rc::gen::inRange(-5, 9);  // 10^-places
    const std::string mark = *rc::gen::element<std::string>("e", "E");
    const std::string power =
        places > 0 ? fmt::format("{}-{:02}", mark, places) : fmt::format("{}+{}", mark, -places);
    RC_PRE(digits.size() + static_cast<std::size_t>(std::max(0, -places)) <= 9);
    Fraction scale = 1;
    for (int i = 0; i < std::abs(places); ++i) scale = scale * 10;
    const Fraction whole(std::stoll(sign + digits));
    const Fraction value = places > 0 ? whole / scale : whole * scale;
    const std::string unit = *rc::gen::element<std::string>("", " mm");
    const auto read = parse_quantity(sign + digits + power + unit);
    RC_ASSERT(read.ok());
    RC_ASSERT(read->millimetres == value);
    // With a point after the first digit, as scripts write it.
    const std::string pointed = digits.substr(0, 1) + (digits.size() > 1 ? "." + digits.substr(1) : "") +
                                fmt::format("{}{}", mark, static_cast<int>(digits.size()) - 1 - places);
    RC_ASSERT(parse_quantity(sign + pointed + unit)->millimetres == value);
    // And as a number of a JSON file.
    const double number = std::strtod((sign + pointed).c_str(), nullptr);
    RC_ASSERT(parse_quantity(text_of(Json(number)))->millimetres == value);
  });
  CHECK(without_exponent("1/3") == "1/3");
  CHECK(without_exponent("8 1/3") == "8 1/3");
  CHECK(without_exponent("5e-41") == "5e-41");
  CHECK(without_exponent("0e5") == "0");
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
  CHECK(to_inches(6.35 + 0.39, 32) == "1/4");   // 0.39 mm is just under 1/64 in
  CHECK(to_inches(6.35 + 0.40, 32) == "9/32");  // 0.40 mm is just over
}
