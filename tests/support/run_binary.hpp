// Runs the built program as a user would.
#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <string>

#include "tests/support/places.hpp"

namespace lastwright::test {

struct BinaryRun {
  int exit_code = -1;  // -1: ended by a signal
  std::string output;  // standard output and standard error
};

// `arguments` as typed into a shell.
inline BinaryRun run_program(const std::string& program, const std::string& arguments) {
  BinaryRun run;
  std::FILE* pipe = popen(("\"" + program + "\" " + arguments + " 2>&1").c_str(), "r");
  if (!pipe) return run;
  std::array<char, 4096> block{};
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe))
    run.output.append(block.data(), got);
  const int status = pclose(pipe);
  if (WIFEXITED(status)) run.exit_code = WEXITSTATUS(status);
  return run;
}

inline BinaryRun run_binary(const std::string& arguments) {
  return run_program(program_file(), arguments);
}

inline bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace lastwright::test
