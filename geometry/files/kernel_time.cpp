#include "geometry/files/kernel_time.hpp"

#include <algorithm>

namespace lastwright {

KernelTime::KernelTime(unsigned seconds) {
  getrlimit(RLIMIT_CPU, &before_);
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  rlimit now = before_;
  const rlim_t ends = static_cast<rlim_t>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + seconds + 1;
  now.rlim_cur = std::min(before_.rlim_cur, ends);  // RLIM_INFINITY is the largest of all
  setrlimit(RLIMIT_CPU, &now);
}

KernelTime::~KernelTime() {
  setrlimit(RLIMIT_CPU, &before_);
}

}  // namespace lastwright
