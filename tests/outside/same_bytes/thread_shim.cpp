// Loaded before the C library (LD_PRELOAD): appends to the file THREAD_COUNT how many threads a process
// started, a line for each process.
#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <string>

namespace {

std::atomic<long> started{0};

struct Report {
  ~Report() {
    const char* name = std::getenv("THREAD_COUNT");
    if (name == nullptr) return;
    const int file = open(name, O_WRONLY | O_CREAT | O_APPEND, 0644);
    const std::string line = std::to_string(started) + "\n";
    if (file < 0 || write(file, line.data(), line.size()) < 0) std::abort();
    close(file);
  }
};
const Report report;

}  // namespace

extern "C" int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*work)(void*),
                              void* given) noexcept {
  using Function = int (*)(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*);
  static const auto real = reinterpret_cast<Function>(dlsym(RTLD_NEXT, "pthread_create"));
  ++started;
  return real(thread, attributes, work, given);
}
