#include "cli/print.hpp"

#include <cstdio>

#include "cli/files/write_file.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/io/safe_text.hpp"

namespace lastwright {

ExitCode print_problem(const Problem& problem) {
  Problem told = problem;
  if (told.message == kNotAPlainFile) told.message += "; on the command line - is standard input";
  const std::string line = "lastwright: " + safe_text(to_text(told)) + "\n";
  std::fwrite(line.data(), 1, line.size(), stderr);
  return exit_code_of(problem.trouble);
}

ExitCode print_problems(const std::vector<Problem>& problems) {
  ExitCode code = ExitCode::kOk;
  for (const Problem& problem : problems) {
    const ExitCode one = print_problem(problem);
    if (code == ExitCode::kOk) code = one;
  }
  return code;
}

void print_warning(std::string_view text) {
  const std::string line = "lastwright: warning: " + safe_text(text) + "\n";
  std::fwrite(line.data(), 1, line.size(), stderr);
}

ExitCode unless_unsaid(ExitCode code) {
  return code == ExitCode::kOk && std::ferror(stderr) != 0 ? exit_code_of(Trouble::kFileSystem) : code;
}

ExitCode print_result(std::string_view bytes) {
  const Status written = write_stdout(bytes);
  return written ? ExitCode::kOk : print_problem(written.problem());
}

ExitCode print_summary(std::string_view text) {
  return print_result(safe_lines(text));
}

ExitCode put_result(std::string_view bytes, const std::string& path, const OutputOptions& options) {
  if (path.empty() || path == "-") return print_result(bytes);
  const Status written = write_file_whole(path, bytes, options);
  return written ? ExitCode::kOk : print_problem(written.problem());
}

}  // namespace lastwright
