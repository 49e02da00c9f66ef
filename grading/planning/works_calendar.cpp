#include "grading/planning/works_calendar.hpp"

#include <algorithm>
#include <cmath>

#include "grading/planning/calendar.hpp"

namespace lastwright {

namespace {

long first_day(const WorksCalendar& calendar) {
  return day_number(calendar.first).value_or(0);
}

// So many working days on, or back, from one.
long moved(const WorksCalendar& calendar, long day, long by) {
  const long step = by < 0 ? -1 : 1;
  for (long left = std::labs(by); left > 0;) {
    day += step;
    if (works_on(calendar, day)) --left;
  }
  return day;
}

}  // namespace

bool works_on(const WorksCalendar& calendar, long day) {
  const long weekday = ((day + 3) % 7 + 7) % 7;  // 1970-01-01 was a Thursday; Monday is 0
  if (!calendar.week.empty() && calendar.week.count(static_cast<int>(weekday)) == 0) return false;
  return calendar.holidays.count(day) == 0;
}

long working_day_by(const WorksCalendar& calendar, long day) {
  while (!works_on(calendar, day)) --day;
  return day;
}

long period_begins(const WorksCalendar& calendar, int period) {
  const long on = static_cast<long>(period) - 1;
  if (calendar.working_days > 0) return moved(calendar, first_day(calendar), on * calendar.working_days);
  return first_day(calendar) + on * calendar.days;
}

std::vector<long> periods_from(const WorksCalendar& calendar, int count) {
  std::vector<long> begins{first_day(calendar)};
  for (int period = 1; period <= count; ++period)
    begins.push_back(calendar.working_days > 0 ? moved(calendar, begins.back(), calendar.working_days)
                                               : begins.back() + calendar.days);
  return begins;
}

int period_of_day(const std::vector<long>& periods, long day) {
  if (periods.empty() || day < periods.front() || day >= periods.back()) return 0;
  return static_cast<int>(std::upper_bound(periods.begin(), periods.end(), day) - periods.begin());
}

}  // namespace lastwright
