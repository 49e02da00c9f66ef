#include "geometry/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace lastwright {

Status run_jobs(std::size_t count, unsigned threads, const std::function<Status(std::size_t)>& job) {
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  threads = static_cast<unsigned>(std::min<std::size_t>(threads, std::max<std::size_t>(count, 1)));
  std::atomic<std::size_t> next{0};
  std::atomic<std::size_t> first_bad{
      count};  // jobs below it still run, so that the lowest problem is always found
  std::mutex guard;
  std::optional<Problem> problem;
  std::exception_ptr fault;
  const auto work = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      if (i > first_bad) continue;
      try {
        const Status status = job(i);
        if (status) continue;
        const std::scoped_lock lock(guard);
        if (i < first_bad) {
          first_bad = i;
          problem = status.problem();
        }
      } catch (...) {
        const std::scoped_lock lock(guard);
        if (!fault) fault = std::current_exception();
        first_bad = 0;
      }
    }
  };
  std::vector<std::jthread> pool;
  for (unsigned t = 1; t < threads; ++t) pool.emplace_back(work);
  work();
  pool.clear();
  if (fault) std::rethrow_exception(fault);
  if (problem) return *problem;
  return Done{};
}

}  // namespace lastwright
