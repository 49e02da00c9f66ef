// Work on the style file that is started from the page: the set, the dies, the report, the plot.
//
// Each runs as a program of its own, the one that is running now, as if it had been typed beside the style
// file: what it may cost, and what becomes of it where it is killed, is what the command promises. One at a
// time. Its outputs get names that are made here from the style's.
#pragma once

#include <sys/types.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grading/json/json_forward.hpp"

namespace lastwright {

class BenchJobs {
 public:
  // `words`: further ones for every command, as --table FILE.
  BenchJobs(std::string style, std::vector<std::string> words)
      : style_(std::move(style)), words_(std::move(words)) {}
  ~BenchJobs();
  BenchJobs(const BenchJobs&) = delete;
  BenchJobs& operator=(const BenchJobs&) = delete;

  // Why this work cannot be begun now, or nothing: there is none of this name, or one still runs.
  std::optional<std::string> busy_for(std::string_view kind);
  // "grade", "dies", "report" or "plot"; `replace`: also over what an earlier one wrote. Why it did not
  // start, or nothing.
  std::optional<std::string> start(std::string_view kind, bool replace);
  // Ends what runs; what it had written so far goes.
  void stop();

  // {"kinds": [{"kind", "says", "out", "there"}], "job": {"kind", "running", "done", "total", "code", "said",
  // "stopped"}}; "job" is null before the first one.
  [[nodiscard]] Json state();

 private:
  struct Kind;
  struct Running {
    std::string kind;
    pid_t pid = -1;
    int out = -1;  // what it says, and its progress
    std::string said;
    bool ended = false;
    bool stopped = false;
    int code = -1;
  };

  static const std::vector<Kind>& kinds();
  static const Kind* kind_named(std::string_view name);
  [[nodiscard]] std::string out_of(const Kind& kind) const;
  [[nodiscard]] std::vector<std::string> words_for(const Kind& kind, bool replace) const;
  void listen();
  void sweep(const Kind& kind) const;

  std::string style_;
  std::vector<std::string> words_;
  std::optional<Running> job_;
};

}  // namespace lastwright
