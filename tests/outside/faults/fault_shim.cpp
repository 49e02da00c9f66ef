// Loaded before the C library (LD_PRELOAD): makes one call
// that changes the disk fail, whichever command runs.
//
//   FAULT_CALL    number of the call that fails, from 0; the calls of all kinds are counted together
//   FAULT_ERRNO   what it fails with
//   FAULT_COUNT   a file into which the number of calls is written at the end, if there were any: the last
//                 commands run in a process of their own
// Output to the terminal (files 0 to 2) and files that are only read do not count.
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdarg>
#include <cstdlib>
#include <string>

namespace {

std::atomic<long> calls{0};

long number_of(const char* name) {
  const char* text = std::getenv(name);
  return text != nullptr ? std::strtol(text, nullptr, 10) : -1;
}

bool fails() {
  static const long fail_at = number_of("FAULT_CALL");
  static const long error = number_of("FAULT_ERRNO");
  if (calls++ != fail_at) return false;
  errno = static_cast<int>(error);
  return true;
}

template <class Function>
Function real(const char* name) {
  return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

struct AtTheEnd {
  ~AtTheEnd() {
    const char* path = std::getenv("FAULT_COUNT");
    if (path == nullptr || calls == 0) return;
    const int file =
        static_cast<int>(::syscall(257 /* openat */, AT_FDCWD, path, O_WRONLY | O_CREAT | O_TRUNC, 0600));
    const std::string text = std::to_string(calls.load());
    ::syscall(1 /* write */, file, text.data(), text.size());
  }
} at_the_end;

}  // namespace

extern "C" {

ssize_t write(int file, const void* bytes, size_t count) {
  static const auto next = real<ssize_t (*)(int, const void*, size_t)>("write");
  if (file > 2 && fails()) return -1;
  return next(file, bytes, count);
}
int fsync(int file) {
  static const auto next = real<int (*)(int)>("fsync");
  return fails() ? -1 : next(file);
}
int syncfs(int file) noexcept {
  static const auto next = real<int (*)(int)>("syncfs");
  return fails() ? -1 : next(file);
}
int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) noexcept {
  static const auto next = real<int (*)(int, const char*, int, const char*, unsigned)>("renameat2");
  return fails() ? -1 : next(from_folder, from, to_folder, to, flags);
}
int mkdirat(int folder, const char* name, mode_t mode) noexcept {
  static const auto next = real<int (*)(int, const char*, mode_t)>("mkdirat");
  return fails() ? -1 : next(folder, name, mode);
}
int openat(int folder, const char* name, int flags, ...) {
  static const auto next = real<int (*)(int, const char*, int, mode_t)>("openat");
  va_list more;
  va_start(more, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(more, mode_t) : 0;
  va_end(more);
  if ((flags & O_CREAT) != 0 && fails()) return -1;
  return next(folder, name, flags, mode);
}

}  // extern "C"
