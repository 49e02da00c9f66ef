#include "cli/calendar_date.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "cli/option_problem.hpp"

namespace lastwright {

Status sound_date(const std::string& text) {
  const std::string pattern = "dddd-dd-dd";
  const bool formed = text.size() == pattern.size() &&
                      std::equal(text.begin(), text.end(), pattern.begin(), [](char c, char wanted) {
                        return wanted == 'd' ? c >= '0' && c <= '9' : c == wanted;
                      });
  if (text.empty()) return Done{};
  if (!formed)
    return in_option(
        Problem{Trouble::kBadValue, "a date is written as year-month-day, e.g. 2026-03-31", {}, {}, {}},
        "--date");
  const std::chrono::year_month_day day{
      std::chrono::year(std::stoi(text.substr(0, 4))),
      std::chrono::month(static_cast<unsigned>(std::stoi(text.substr(5, 2)))),
      std::chrono::day(static_cast<unsigned>(std::stoi(text.substr(8, 2))))};
  if (day.ok()) return Done{};
  return in_option(Problem{Trouble::kBadValue, fmt::format("the calendar has no day {}", text), {}, {}, {}},
                   "--date");
}

}  // namespace lastwright
