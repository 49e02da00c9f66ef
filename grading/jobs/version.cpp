#include "grading/jobs/version.hpp"

namespace lastwright {

const char* program_version() {
  return LASTWRIGHT_VERSION;
}

}  // namespace lastwright
