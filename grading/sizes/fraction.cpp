#include "grading/sizes/fraction.hpp"

#include <fmt/format.h>

#include <array>
#include <limits>
#include <numeric>
#include <optional>
#include <tuple>
#include <utility>

namespace lastwright {
namespace {

using Wide = __int128;

Wide gcd(Wide a, Wide b) {
  if (a < 0) a = -a;
  if (b < 0) b = -b;
  while (b != 0) a = std::exchange(b, a % b);
  return a;
}

// Lowest terms, positive denominator, 64 bits or a broken invariant.
std::pair<std::int64_t, std::int64_t> reduced(Wide num, Wide den) {
  invariant(den != 0, "a fraction with denominator 0");
  const Wide common = gcd(num, den);
  num /= common;
  den /= common;
  if (den < 0) {
    num = -num;
    den = -den;
  }
  const Wide most = std::numeric_limits<std::int64_t>::max();
  invariant(num <= most && num >= -most && den <= most, "a fraction beyond 64 bits");
  return {static_cast<std::int64_t>(num), static_cast<std::int64_t>(den)};
}

Fraction fraction_of(Wide num, Wide den) {
  const auto [n, d] = reduced(num, den);
  return {n, d};
}

struct Vulgar {
  std::string_view sign;
  int numerator;
  int denominator;
};
constexpr std::array<Vulgar, 15> kVulgars{{{"½", 1, 2},
                                           {"¼", 1, 4},
                                           {"¾", 3, 4},
                                           {"⅓", 1, 3},
                                           {"⅔", 2, 3},
                                           {"⅕", 1, 5},
                                           {"⅖", 2, 5},
                                           {"⅗", 3, 5},
                                           {"⅘", 4, 5},
                                           {"⅙", 1, 6},
                                           {"⅚", 5, 6},
                                           {"⅛", 1, 8},
                                           {"⅜", 3, 8},
                                           {"⅝", 5, 8},
                                           {"⅞", 7, 8}}};

constexpr std::size_t kMostDigits = 9;

// Takes 1 to 9 digits off the front of the text.
std::optional<std::int64_t> take_digits(std::string_view& text) {
  std::size_t n = 0;
  std::int64_t value = 0;
  while (n < text.size() && text[n] >= '0' && text[n] <= '9') {
    if (n == kMostDigits) return std::nullopt;
    value = value * 10 + (text[n] - '0');
    ++n;
  }
  if (n == 0) return std::nullopt;
  text.remove_prefix(n);
  return value;
}

// The digits after the point, any number of them up to 40: from the tenth on they are rounded.
std::optional<Fraction> take_decimals(std::string_view& text) {
  constexpr std::size_t kMostDecimals = 40;
  std::size_t n = 0;
  std::int64_t value = 0;
  std::int64_t scale = 1;
  while (n < text.size() && text[n] >= '0' && text[n] <= '9') {
    if (n == kMostDecimals) return std::nullopt;
    if (n < kMostDigits) {
      value = value * 10 + (text[n] - '0');
      scale *= 10;
    } else if (n == kMostDigits && text[n] >= '5') {
      ++value;
    }
    ++n;
  }
  if (n == 0) return std::nullopt;
  text.remove_prefix(n);
  return Fraction(value, scale);
}

std::optional<Fraction> take_vulgar(std::string_view& text) {
  for (const Vulgar& vulgar : kVulgars) {
    if (text.starts_with(vulgar.sign)) {
      text.remove_prefix(vulgar.sign.size());
      return Fraction(vulgar.numerator, vulgar.denominator);
    }
  }
  return std::nullopt;
}

std::optional<Fraction> take_ratio(std::string_view& text) {
  const auto above = take_digits(text);
  if (!above || text.empty() || text.front() != '/') return std::nullopt;
  text.remove_prefix(1);
  const auto below = take_digits(text);
  if (!below || *below == 0) return std::nullopt;
  return Fraction(*above, *below);
}

std::optional<Fraction> parse_unsigned(std::string_view text) {
  if (const auto vulgar = take_vulgar(text)) return text.empty() ? vulgar : std::nullopt;
  std::string_view rest = text;
  const auto whole = take_digits(rest);
  if (!whole) return std::nullopt;
  if (rest.empty()) return Fraction(*whole);
  if (rest.front() == '/') {
    const auto ratio = take_ratio(text);
    return text.empty() ? ratio : std::nullopt;
  }
  if (rest.front() == '.') {
    rest.remove_prefix(1);
    const auto part = take_decimals(rest);
    if (!part || !rest.empty()) return std::nullopt;
    return Fraction(*whole) + *part;
  }
  while (rest.starts_with(' ')) rest.remove_prefix(1);
  auto part = take_vulgar(rest);
  if (!part) part = take_ratio(rest);
  // "8 5/3" is a slip of the pen, not a number.
  if (!part || !rest.empty() || *part >= 1) return std::nullopt;
  return Fraction(*whole) + *part;
}

}  // namespace

Fraction::Fraction(std::int64_t numerator, std::int64_t denominator) {
  std::tie(num_, den_) = reduced(numerator, denominator);
}

std::int64_t Fraction::floor() const {
  const std::int64_t quotient = num_ / den_;
  return num_ % den_ < 0 ? quotient - 1 : quotient;
}

Fraction operator+(Fraction a, Fraction b) {
  return fraction_of(Wide{a.num_} * b.den_ + Wide{b.num_} * a.den_, Wide{a.den_} * b.den_);
}
Fraction operator-(Fraction a, Fraction b) {
  return fraction_of(Wide{a.num_} * b.den_ - Wide{b.num_} * a.den_, Wide{a.den_} * b.den_);
}
Fraction operator*(Fraction a, Fraction b) {
  return fraction_of(Wide{a.num_} * b.num_, Wide{a.den_} * b.den_);
}
Fraction operator/(Fraction a, Fraction b) {
  return fraction_of(Wide{a.num_} * b.den_, Wide{a.den_} * b.num_);
}
Fraction Fraction::operator-() const {
  return fraction_of(-Wide{num_}, den_);
}

std::strong_ordering operator<=>(Fraction a, Fraction b) {
  const Wide left = Wide{a.num_} * b.den_;
  const Wide right = Wide{b.num_} * a.den_;
  if (left < right) return std::strong_ordering::less;
  return left > right ? std::strong_ordering::greater : std::strong_ordering::equal;
}

Result<Fraction> parse_fraction(std::string_view text) {
  std::string_view rest = text;
  const bool negative = rest.starts_with('-');
  if (negative) rest.remove_prefix(1);
  const auto value = parse_unsigned(rest);
  if (value) return negative ? -*value : *value;
  Problem problem{Trouble::kBadValue,
                  fmt::format("\"{}\" is not a number; write 8, 8.5, 1/3 or 8 1/3, at most {} digits a part",
                              text, kMostDigits),
                  {},
                  {},
                  {}};
  if (text.find(',') != std::string_view::npos) problem.message += "; the decimal sign is a point";
  return problem;
}

std::string to_mixed(Fraction value) {
  if (value < 0) return "-" + to_mixed(-value);
  const std::int64_t whole = value.floor();
  const Fraction part = value - whole;
  if (part == 0) return fmt::format("{}", whole);
  const std::string ratio = fmt::format("{}/{}", part.numerator(), part.denominator());
  return whole == 0 ? ratio : fmt::format("{} {}", whole, ratio);
}

std::string to_decimal(Fraction value) {
  std::int64_t den = value.denominator();
  std::int64_t times = 1;
  int digits = 0;
  while (den != 1 && digits < 9) {
    if (den % 10 == 0) {
      den /= 10;
    } else if (den % 2 == 0) {
      den /= 2;
      times *= 5;
    } else if (den % 5 == 0) {
      den /= 5;
      times *= 2;
    } else {
      return to_mixed(value);
    }
    ++digits;
  }
  if (den != 1) return to_mixed(value);
  if (value < 0) return "-" + to_decimal(-value);
  if (digits == 0) return fmt::format("{}", value.numerator());
  std::int64_t scale = 1;
  for (int i = 0; i < digits; ++i) scale *= 10;
  const std::int64_t scaled = value.numerator() * times;
  return fmt::format("{}.{:0{}}", scaled / scale, scaled % scale, digits);
}

std::string to_places(Fraction value, int places) {
  invariant(places >= 0 && places <= 9, "0 to 9 decimals");
  Wide scale = 1;
  for (int i = 0; i < places; ++i) scale *= 10;
  const bool negative = value < 0;
  const Wide twice = 2 * Wide{value.numerator()} * (negative ? -1 : 1) * scale;
  const Wide den = value.denominator();
  const Wide digits = (twice + den) / (2 * den);
  const auto whole = static_cast<std::int64_t>(digits / scale);
  const auto part = static_cast<std::int64_t>(digits % scale);
  const std::string sign = negative && digits != 0 ? "-" : "";
  return places == 0 ? fmt::format("{}{}", sign, whole)
                     : fmt::format("{}{}.{:0{}}", sign, whole, part, places);
}

Fraction round_to(Fraction value, Fraction step) {
  invariant(step > 0, "rounding to a step that is not positive");
  const Fraction steps = value / step;
  // Half a step goes away from zero, so that -x rounds to minus what x rounds to.
  return step * (steps < 0 ? -Fraction((Fraction(1, 2) - steps).floor())
                           : Fraction((steps + Fraction(1, 2)).floor()));
}

}  // namespace lastwright
