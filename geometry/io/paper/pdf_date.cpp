#include "geometry/io/paper/pdf_date.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cstdlib>
#include <string_view>

namespace lastwright {

namespace {

// Seconds since 1970 as an ISO 8601 date. Civil date from
// a day count: proleptic Gregorian, eras of 400 years.
std::string iso_date(long long seconds) {
  const long long days = (seconds >= 0 ? seconds : seconds - 86399) / 86400;
  const long long second = seconds - days * 86400;
  const long long shifted = days + 719468;
  const long long era = (shifted >= 0 ? shifted : shifted - 146096) / 146097;
  const long long day_of_era = shifted - era * 146097;
  const long long year_of_era =
      (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
  const long long day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
  const long long month_from_march = (5 * day_of_year + 2) / 153;
  const long long day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
  const long long month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
  const long long year = year_of_era + era * 400 + (month <= 2 ? 1 : 0);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", year, month, day, second / 3600,
                     second / 60 % 60, second % 60);
}

}  // namespace

std::string pdf_creation_date() {
  long long seconds = 0;
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH"); epoch != nullptr) {
    const std::string_view text = epoch;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), seconds);
    if (read.ec != std::errc() || read.ptr != text.data() + text.size() || seconds < 0 ||
        seconds > 253402300799)
      seconds = 0;
  }
  return iso_date(seconds);
}

}  // namespace lastwright
