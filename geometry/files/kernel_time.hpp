// A limit to what the solid kernel may spend on one file of a user.
#pragma once

#include <sys/resource.h>

#include <cstddef>

namespace lastwright {

// Seconds of processor time: far above what sound lasts take
// (1 s a megabyte), so that only work without end meets it.
inline constexpr unsigned kKernelSeconds = 30;
inline constexpr unsigned kKernelSecondsPerMegabyte = 2;

// While it lives, the process is ended (SIGXCPU) once it has used `seconds`
// more of processor time, all threads together: the kernel cannot be
// stopped otherwise. The program that started this one says what happened.
class KernelTime {
 public:
  explicit KernelTime(unsigned seconds);
  ~KernelTime();
  KernelTime(const KernelTime&) = delete;
  KernelTime& operator=(const KernelTime&) = delete;

 private:
  rlimit before_{};
};

// For a file of so many bytes.
inline unsigned kernel_seconds(std::size_t bytes) {
  return kKernelSeconds + kKernelSecondsPerMegabyte * static_cast<unsigned>(bytes >> 20);
}

}  // namespace lastwright
