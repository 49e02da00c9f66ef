#include "cli/commands/last.hpp"

#include <fmt/format.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <string>
#include <vector>

#include "cli/print.hpp"
#include "cli/usage.hpp"
#include "geometry/files/kernel_time.hpp"

namespace lastwright {

namespace {

// The folder of the running program.
std::string own_folder() {
  std::array<char, 4096> path{};
  const ssize_t n = readlink("/proc/self/exe", path.data(), path.size() - 1);
  if (n <= 0) return ".";
  const std::string text(path.data(), static_cast<std::size_t>(n));
  return text.substr(0, text.rfind('/'));
}

ExitCode run_last(const std::vector<std::string>& arguments) {
  const std::vector<std::string> commands{"measure", "grade", "verify", "formes"};
  const bool known = arguments.empty() || arguments.front().starts_with('-') ||
                     std::find(commands.begin(), commands.end(), arguments.front()) != commands.end();
  if (!known) {
    return print_problem(
        {Trouble::kUsage,
         "last: " + unknown_command(arguments.front(), commands) + "; see lastwright last --help",
         {},
         {},
         {}});
  }
  const std::string program = own_folder() + "/lastwright-last";
  std::vector<std::string> words{program};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  std::fflush(nullptr);
  const pid_t self = getpid();
  const pid_t child = fork();
  if (child == 0) {
    // Who ends this program wants its work ended too, not going on unseen.
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != self) _exit(127);
    execv(program.c_str(), argv.data());
    _exit(127);
  }
  int status = 0;
  if (child < 0) {
    std::fputs("lastwright: the last commands could not be started\n", stderr);
    return ExitCode::kFileSystem;
  }
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  if (WIFSIGNALED(status) && WTERMSIG(status) == SIGXCPU) {
    fmt::print(stderr,
               "lastwright: the solid kernel was still working on this file when its time ran out ({} s of "
               "processor time and {} s a megabyte); what was to be written is there whole or not at all\n",
               kKernelSeconds, kKernelSecondsPerMegabyte);
    return ExitCode::kBadInput;
  }
  if (WIFSIGNALED(status)) {
    fmt::print(
        stderr,
        "lastwright: the solid kernel broke down on this file (signal {}); what was to be written is there "
        "whole or not at all\n",
        WTERMSIG(status));
    return ExitCode::kBadInput;
  }
  if (WEXITSTATUS(status) == 127) {
    fmt::print(stderr, "lastwright: {} is missing: this build has no last commands\n", program);
    return ExitCode::kFileSystem;
  }
  return static_cast<ExitCode>(WEXITSTATUS(status));
}

}  // namespace

void add_last(Program& app, Action& action) {
  Command* last = app.add_subcommand(
      "last", "Measure, grade, flatten and verify lasts in 3D (lastwright last --help lists its commands)");
  last->hand_over();
  last->callback([last, &action] { action = [rest = last->handed_over()] { return run_last(rest); }; });
}

}  // namespace lastwright
