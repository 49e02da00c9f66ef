// Which days the periods of a works are, and on which of them it works.
#pragma once

#include <optional>
#include <vector>

#include "grading/planning/works.hpp"

namespace lastwright {

bool works_on(const WorksCalendar& calendar, long day);

// The last day on which the works works, not after that day. Precondition: it works on some day of the week.
long working_day_by(const WorksCalendar& calendar, long day);

// The first day of a period; period 0 is the one before the first.
long period_begins(const WorksCalendar& calendar, int period);

// Of each period from 1 to `count` and of the one after, the first day.
std::vector<long> periods_from(const WorksCalendar& calendar, int count);

// The period that a day lies in, by such a list; 0 before the first and behind the last.
int period_of_day(const std::vector<long>& periods, long day);

}  // namespace lastwright
