// Decimal text against the C++ library's own conversions.
#include "geometry/io/decimal_text.hpp"

#include <fmt/format.h>

#include <bit>
#include <catch2/catch.hpp>
#include <charconv>
#include <limits>
#include <random>
#include <string>

using namespace lastwright;

TEST_CASE("a scaled whole number is written as its decimal fraction", "[decimal]") {
  std::mt19937_64 random(20261126);
  for (int i = 0; i < 20000; ++i) {
    const int decimals = static_cast<int>(random() % 13);
    const auto scaled = static_cast<std::int64_t>(random() >> (random() % 63 + 1)) * (i % 2 == 0 ? 1 : -1);
    std::string out;
    append_scaled(out, scaled, static_cast<std::size_t>(decimals), ".0");
    // The same by way of the digits: pad, set the point, take zeros away.
    std::string digits = fmt::format("{:0{}}", scaled < 0 ? -scaled : scaled, decimals + 1);
    std::string wanted = digits.substr(0, digits.size() - static_cast<std::size_t>(decimals));
    std::string fraction = digits.substr(wanted.size());
    fraction.erase(fraction.find_last_not_of('0') + 1);
    wanted = (scaled < 0 ? "-" : "") + wanted + (fraction.empty() ? ".0" : "." + fraction);
    REQUIRE(out == wanted);
  }
}

TEST_CASE("the largest numbers are written whole", "[decimal]") {
  std::string out;
  append_scaled(out, std::numeric_limits<std::int64_t>::min(), 0, ".0");
  CHECK(out == "-9223372036854775808.0");
  out.clear();
  append_scaled(out, std::numeric_limits<std::int64_t>::max(), 18, ".0");
  CHECK(out == "9.223372036854775807");
}

TEST_CASE("a plain decimal is read to the bit as std::from_chars reads it", "[decimal]") {
  const auto library = [](const std::string& text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    REQUIRE(error == std::errc{});
    REQUIRE(end == text.data() + text.size());
    return value;
  };
  std::mt19937_64 random(20261126);
  for (int i = 0; i < 50000; ++i) {
    const std::uint64_t digits = random() % 1000000000000000 >> (random() % 50);
    std::string text = std::to_string(digits);
    if (i % 3 != 0 && text.size() < 15) text.insert(text.size() - random() % text.size(), ".");
    if (text.front() == '.') text.insert(0, "0");
    if (i % 2 == 0) text.insert(0, "-");
    const auto value = plain_decimal(text);
    REQUIRE(value);
    REQUIRE(std::bit_cast<std::uint64_t>(*value) == std::bit_cast<std::uint64_t>(library(text)));
  }
  for (const char* text : {"0", "-0", "-0.0", "5.", "000.125", "999999999999999", "0.00000000000001"}) {
    REQUIRE(plain_decimal(text));
    CHECK(std::bit_cast<std::uint64_t>(*plain_decimal(text)) == std::bit_cast<std::uint64_t>(library(text)));
  }
  for (const char* text : {"", "-", ".", ".5", "1e5", "+1", " 1", "1 ", "1,5", "--1", "1.2.3", "nan", "inf",
                           "1234567890123456", "0.123456789012345", "0x10"}) {
    CHECK_FALSE(plain_decimal(text));
  }
}
