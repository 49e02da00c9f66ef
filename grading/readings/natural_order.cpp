#include "grading/readings/natural_order.hpp"

#include <algorithm>
#include <string_view>

namespace lastwright {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// Takes the number that the text begins with, without its leading zeros.
std::string_view take_number(std::string_view& text) {
  std::size_t end = 0;
  while (end < text.size() && is_digit(text[end])) ++end;
  std::string_view number = text.substr(0, end);
  text.remove_prefix(end);
  number.remove_prefix(std::min(number.find_first_not_of('0'), number.size()));
  return number;
}

}  // namespace

bool NaturalOrder::operator()(const std::string& one, const std::string& other) const {
  std::string_view a = one;
  std::string_view b = other;
  while (!a.empty() && !b.empty()) {
    if (is_digit(a.front()) && is_digit(b.front())) {
      const std::string_view x = take_number(a);
      const std::string_view y = take_number(b);
      if (x.size() != y.size()) return x.size() < y.size();
      if (x != y) return x < y;
      continue;
    }
    if (a.front() != b.front())
      return static_cast<unsigned char>(a.front()) < static_cast<unsigned char>(b.front());
    a.remove_prefix(1);
    b.remove_prefix(1);
  }
  if (a.empty() != b.empty()) return a.empty();
  return one < other;
}

}  // namespace lastwright
