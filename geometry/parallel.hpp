// Runs independent jobs on all cores.
#pragma once

#include <cstddef>
#include <functional>

#include "geometry/result.hpp"

namespace lastwright {

// Calls job(0) ... job(count - 1), each once, in any order, from up to
// `threads` threads (0: one per core). The first problem by index wins,
// whatever the timing; jobs that start after a problem is known are left out.
Status run_jobs(std::size_t count, unsigned threads, const std::function<Status(std::size_t)>& job);

}  // namespace lastwright
