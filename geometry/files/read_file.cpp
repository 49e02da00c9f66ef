#include "geometry/files/read_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "geometry/files/file_system.hpp"

namespace lastwright {

namespace {

// Opened without waiting: a pipe without a writer would make the program wait for ever.
Result<OpenFile> open_plain(const std::string& path) {
  const auto problem = [&](std::string message) {
    return Problem{Trouble::kNotFound, std::move(message), {path, 0, {}, {}}, {}, {}};
  };
  if (path.empty()) return problem("a file without a name cannot be read");
  if (path.find('\0') != std::string::npos)
    return problem("there is no such file: no name holds the character zero");
  OpenFile file = open_fully(real_file_system(), AT_FDCWD, path.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY);
  if (!file && errno == ENOENT) return problem("there is no such file");
  struct stat found {};
  // A socket or a device without a driver does not open at all.
  const bool looked = file ? ::fstat(file.number(), &found) == 0 : ::stat(path.c_str(), &found) == 0;
  if (looked && S_ISDIR(found.st_mode)) return problem("this is a folder, not a file");
  if (looked && !S_ISREG(found.st_mode)) {
    return problem(kNotAPlainFile);
  }
  if (!file || !looked) {
    const char* reason = ::strerrordesc_np(errno);
    return problem(
        fmt::format("the file cannot be opened: {}", reason != nullptr ? reason : "unknown error"));
  }
  return file;
}

}  // namespace

Result<std::string> read_file(const std::string& path, std::size_t most_bytes) {
  const bool standard_input = path == "-";
  OpenFile file;
  if (!standard_input) {
    Result<OpenFile> opened = open_plain(path);
    if (!opened) return opened.problem();
    file = std::move(*opened);
  }
  const int number = standard_input ? STDIN_FILENO : file.number();
  struct stat found {};
  std::string bytes;
  const auto too_large = [&] {
    return Problem{Trouble::kBudget,
                   fmt::format("the file is larger than {} bytes", most_bytes),
                   {path, 0, {}, {}},
                   {},
                   {}};
  };
  if (::fstat(number, &found) == 0 && S_ISREG(found.st_mode)) {
    if (static_cast<std::uint64_t>(found.st_size) > most_bytes) return too_large();
    bytes.reserve(static_cast<std::size_t>(found.st_size));
  }
  char block[65536];
  for (;;) {
    const ssize_t got = ::read(number, block, sizeof block);
    if (got == 0) return bytes;
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return file_problem("read this file", path, errno);
    bytes.append(block, static_cast<std::size_t>(got));
    if (bytes.size() > most_bytes) return too_large();
  }
}

}  // namespace lastwright
