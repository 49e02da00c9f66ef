#include "grading/sizes/plain_decimal.hpp"

#include <algorithm>

namespace lastwright {

std::string without_exponent(std::string_view text) {
  constexpr long kMostPlaces = 40;  // by which the point moves; parse_fraction takes no more decimals
  std::string_view rest = text;
  const auto digits = [&rest] {
    std::size_t n = 0;
    while (n < rest.size() && rest[n] >= '0' && rest[n] <= '9') ++n;
    const std::string_view taken = rest.substr(0, n);
    rest.remove_prefix(n);
    return taken;
  };
  const bool negative = rest.starts_with('-');
  if (negative) rest.remove_prefix(1);
  std::string whole(digits());
  std::string part;
  if (rest.starts_with('.')) {
    rest.remove_prefix(1);
    part = digits();
    if (part.empty()) return std::string(text);
  }
  if (whole.empty() || (!rest.starts_with('e') && !rest.starts_with('E'))) return std::string(text);
  rest.remove_prefix(1);
  const bool down = rest.starts_with('-');
  if (down || rest.starts_with('+')) rest.remove_prefix(1);
  const std::string_view power = digits();
  if (power.empty() || power.size() > 3 || !rest.empty()) return std::string(text);
  long places = 0;
  for (const char c : power) places = places * 10 + (c - '0');
  if (places > kMostPlaces) return std::string(text);
  for (; places > 0; --places) {
    std::string& from = down ? whole : part;
    std::string& to = down ? part : whole;
    const char moved = from.empty() ? '0' : down ? from.back() : from.front();
    if (!from.empty()) from.erase(down ? from.size() - 1 : 0, 1);
    to.insert(down ? to.begin() : to.end(), moved);
  }
  whole.erase(0, std::min(whole.find_first_not_of('0'), whole.size()));
  while (part.ends_with('0')) part.pop_back();
  return (negative ? "-" : "") + (whole.empty() ? "0" : whole) + (part.empty() ? "" : "." + part);
}

}  // namespace lastwright
