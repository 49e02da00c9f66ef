#include "cli/files/target.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>

#include <cerrno>
#include <filesystem>

namespace lastwright {

namespace {

TargetKind kind_of(mode_t mode) {
  if (S_ISREG(mode)) return TargetKind::kFile;
  if (S_ISDIR(mode)) return TargetKind::kFolder;
  if (S_ISLNK(mode)) return TargetKind::kLink;
  return TargetKind::kOther;
}

}  // namespace

std::string Target::hidden_name(int number) const {
  return fmt::format(".{}.lastwright-{}", name, number);
}

Result<Target> look_at_target(const std::string& path, FileSystem& system) {
  Target target;
  target.path = path;
  std::string bare = path;
  while (bare.size() > 1 && bare.back() == '/') bare.pop_back();
  const std::size_t slash = bare.rfind('/');
  target.name = slash == std::string::npos ? bare : bare.substr(slash + 1);
  target.parent = slash == std::string::npos ? "." : slash == 0 ? "/" : bare.substr(0, slash);
  if (target.name.empty() || target.name == "." || target.name == ".." ||
      path.find('\0') != std::string::npos) {
    return Problem{Trouble::kUsage,
                   fmt::format("\"{}\" is not a name for an output; name a new file or folder", path),
                   {},
                   {},
                   {}};
  }
  target.folder = open_fully(system, AT_FDCWD, target.parent.c_str(), O_RDONLY | O_DIRECTORY);
  if (!target.folder) return file_problem("open the folder for the output", target.parent, errno);

  struct stat found {};
  if (::fstatat(target.folder.number(), target.name.c_str(), &found, AT_SYMLINK_NOFOLLOW) == 0) {
    target.kind = kind_of(found.st_mode);
  } else if (errno != ENOENT) {
    return file_problem("look at the output", path, errno);
  }
  return target;
}

std::string input_in_target(const Target& target, const std::vector<std::string>& inputs) {
  namespace fs = std::filesystem;
  std::error_code trouble;
  struct stat theirs {};
  const bool exists =
      ::fstatat(target.folder.number(), target.name.c_str(), &theirs, AT_SYMLINK_NOFOLLOW) == 0;
  if (!exists) return {};
  const fs::path folder = fs::canonical(fs::path(target.parent) / target.name, trouble);
  if (trouble) return {};
  for (const std::string& input : inputs) {
    struct stat ours {};
    if (::stat(input.c_str(), &ours) != 0) continue;  // gone since it was read
    if (ours.st_dev == theirs.st_dev && ours.st_ino == theirs.st_ino) return input;
    const fs::path real = fs::canonical(input, trouble);
    if (trouble) continue;
    const auto [end_of_folder, unused] =
        std::mismatch(folder.begin(), folder.end(), real.begin(), real.end());
    if (end_of_folder == folder.end()) return input;
  }
  return {};
}

}  // namespace lastwright
