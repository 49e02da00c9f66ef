// Problems with what was typed as an option.
#pragma once

#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

// A value that `option` cannot have is a slip on the command line, whatever found it. What lies in a file
// keeps its kind: "--table FILE" may name a file that is broken.
Problem in_option(Problem problem, std::string_view option);

// The same for results: a good one comes back as it is.
template <class T>
Result<T> in_option(Result<T> result, std::string_view option) {
  if (result) return result;
  return in_option(result.problem(), option);
}

// An option that is understood and would have no effect beside the others, and why, with what to do.
Problem without_effect(std::string_view option, std::string_view why);

}  // namespace lastwright
