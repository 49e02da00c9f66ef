// How `lastwright last` ends when the program it starts does.
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "geometry/files/kernel_time.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;

namespace {

// A copy of the program beside a program of the lasts that only does `what`.
test::BinaryRun with_last_program(const ScratchFolder& scratch, const std::string& what) {
  namespace fs = std::filesystem;
  fs::copy_file(test::program_file(), scratch / "lastwright", fs::copy_options::overwrite_existing);
  std::ofstream(scratch / "lastwright-last") << "#!/bin/sh\n" << what << "\n";
  fs::permissions(scratch / "lastwright-last", fs::perms::owner_all);
  return test::run_program(scratch / "lastwright", "last measure any.step");
}

}  // namespace

TEST_CASE("what ends the program of the lasts is told, with a code of its own", "[last]") {
  const ScratchFolder scratch(ScratchFolder::kOnDisk);  // /dev/shm may not run programs
  const test::BinaryRun late = with_last_program(scratch, "kill -XCPU $$");
  CHECK(late.exit_code == 3);
  CHECK(test::says(late.output, "30 s of processor time and 2 s a megabyte"));
  const test::BinaryRun broken = with_last_program(scratch, "kill -SEGV $$");
  CHECK(broken.exit_code == 3);
  CHECK(test::says(broken.output, "broke down on this file (signal 11)"));
  CHECK(with_last_program(scratch, "exit 4").exit_code == 4);
}

TEST_CASE("work without end is ended by its processor time, and only while the limit stands", "[last]") {
  const pid_t child = fork();
  if (child == 0) {
    { const KernelTime over(1000); }
    const KernelTime limited(0);
    volatile double x = 1.0;
    while (x > 0.0) x = x + 1.0;
    _exit(0);
  }
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  REQUIRE(WIFSIGNALED(status));
  CHECK(WTERMSIG(status) == SIGXCPU);
  rlimit before{};
  getrlimit(RLIMIT_CPU, &before);
  { const KernelTime limited(1000); }
  rlimit after{};
  getrlimit(RLIMIT_CPU, &after);
  CHECK(after.rlim_cur == before.rlim_cur);
}
