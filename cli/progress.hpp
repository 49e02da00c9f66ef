// How far a long run is, on a terminal and nowhere else.
//
// Nothing is drawn into a pipe or a file, on a dumb terminal, or in the first 0.3 s; afterwards one line,
// redrawn at most ten times a second and wiped at the end, so that what a command prints stands alone.
#pragma once

#include <atomic>
#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>

namespace lastwright {

class Progress {
 public:
  // Draws to the file number `terminal`, standard error by default.
  Progress(std::string what, std::size_t total, int terminal = 2);
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress();

  void advance(std::size_t count = 1);  // from any thread
  // Of how much, where that is known only when the work has begun.
  void expect(std::size_t total) { total_ = total; }
  [[nodiscard]] bool shown() const { return shown_; }

 private:
  using Clock = std::chrono::steady_clock;
  void draw(std::size_t done);

  std::string what_;
  std::atomic<std::size_t> total_;
  int terminal_;
  bool shown_;  // this is a terminal that can redraw a line
  std::atomic<std::size_t> done_{0};
  std::mutex drawing_;
  bool drawn_ = false;
  Clock::time_point next_;
};

// The line for a terminal of `columns`: "grading 1,234 of 8,000 [=====>    ]".
std::string progress_line(const std::string& what, std::size_t done, std::size_t total, std::size_t columns);

}  // namespace lastwright
