#include "grading/planning/calendar.hpp"

#include <fmt/format.h>

#include <charconv>
#include <chrono>

namespace lastwright {

std::optional<long> day_number(std::string_view day) {
  if (day.size() != 10 || day[4] != '-' || day[7] != '-') return {};
  const auto number = [&](std::size_t from, std::size_t count) {
    int value = -1;
    const std::string_view digits = day.substr(from, count);
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return error == std::errc() && end == digits.data() + digits.size() ? value : -1;
  };
  const int year = number(0, 4);
  const int month = number(5, 2);
  const int date = number(8, 2);
  if (year < 0 || month < 0 || date < 0) return {};
  const std::chrono::year_month_day at{std::chrono::year(year),
                                       std::chrono::month(static_cast<unsigned>(month)),
                                       std::chrono::day(static_cast<unsigned>(date))};
  if (!at.ok()) return {};
  return std::chrono::sys_days(at).time_since_epoch().count();
}

std::string day_text(long number) {
  const std::chrono::year_month_day at{std::chrono::sys_days(std::chrono::days(number))};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(at.year()), static_cast<unsigned>(at.month()),
                     static_cast<unsigned>(at.day()));
}

}  // namespace lastwright
