#include "cli/drawings/left_out.hpp"

#include "cli/print.hpp"
#include "grading/jobs/left_out.hpp"

namespace lastwright {

void tell_left_out(const LoadedStyle& style) {
  for (const std::string& line : left_out_of(style)) print_warning(line);
}

void tell_left_out_in_short(const LoadedStyle& style) {
  for (const std::string& line : left_out_in_short_of(style)) print_warning(line);
}

}  // namespace lastwright
