#include "cli/read_file.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>

namespace lastwright {

Result<std::string> read_file(const std::string& path, std::size_t most_bytes) {
  const auto problem = [&](Trouble trouble, std::string message) {
    return Problem{trouble, std::move(message), {path, 0, {}, {}}, {}, {}};
  };
  const auto close = [](std::FILE* file) {
    if (file && file != stdin) std::fclose(file);
  };
  std::error_code error;
  if (path != "-") {
    const auto status = std::filesystem::status(path, error);
    if (!std::filesystem::exists(status)) return problem(Trouble::kNotFound, "there is no such file");
    if (std::filesystem::is_directory(status))
      return problem(Trouble::kNotFound, "this is a folder, not a file");
  }
  const std::unique_ptr<std::FILE, decltype(close)> file(path == "-" ? stdin : std::fopen(path.c_str(), "rb"),
                                                         close);
  if (!file)
    return problem(Trouble::kNotFound, fmt::format("the file cannot be opened: {}", std::strerror(errno)));
  std::string bytes;
  char block[65536];
  for (;;) {
    const std::size_t got = std::fread(block, 1, sizeof block, file.get());
    bytes.append(block, got);
    if (bytes.size() > most_bytes) {
      return problem(Trouble::kBudget, fmt::format("the file is larger than {} bytes", most_bytes));
    }
    if (got < sizeof block) break;
  }
  if (std::ferror(file.get())) return problem(Trouble::kFileSystem, "the file could not be read to its end");
  return bytes;
}

}  // namespace lastwright
