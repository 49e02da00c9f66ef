// An always-on check for what only a programming error can break. Never used on data from outside.
#pragma once

#include <stdexcept>
#include <string>

namespace lastwright {

// Carries a broken invariant up to main, which prints it and ends with the documented internal exit code:
// outputs stay whole, because nothing is renamed into place before a run is complete.
class InvariantBroken : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

inline void invariant(bool holds, const char* what) {
  if (!holds) throw InvariantBroken(std::string("broken invariant: ") + what);
}

}  // namespace lastwright
