#include "cli/files/unfinished.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>

#include <cerrno>

#include "cli/files/folder_contents.hpp"

namespace lastwright {

namespace {

constexpr int kHiddenNames = 1000;  // runs into one target at the same time, and then some

Problem too_many(const Target& target) {
  return {Trouble::kFileSystem,
          fmt::format("there are too many hidden names like {}; remove them", target.hidden_name(1)),
          {target.path, 0, {}, {}},
          {},
          {}};
}

}  // namespace

bool remove_hidden_folder(FileSystem& system, int parent, const std::string& name) {
  const Result<Manifest> manifest = read_manifest(system, parent, name);
  if (manifest && !first_unlisted(system, parent, name, *manifest).empty()) return false;
  return remove_tree(system, parent, name) == 0;
}

// Makes a hidden folder and locks it, so that others see that its run is alive. One that is not locked was
// left by a killed run and is removed.
Result<HiddenFolder> claim_hidden_folder(const Target& target, FileSystem& system) {
  const int parent = target.folder.number();
  for (int number = 1; number <= kHiddenNames; ++number) {
    const std::string name = target.hidden_name(number);
    const bool made = system.make_folder_at(parent, name.c_str(), 0777) == 0;
    if (!made && errno == EINTR) {
      --number;
      continue;
    }
    if (!made && errno != EEXIST) return file_problem("make a folder beside the output", target.path, errno);
    OpenFile folder = open_fully(system, parent, name.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW);
    if (!folder) {
      if (!made) continue;
      const int error = errno;
      system.remove_at(parent, name.c_str(), AT_REMOVEDIR);
      return file_problem("open the new folder beside the output", target.path, error);
    }
    const bool locked = ::flock(folder.number(), LOCK_EX | LOCK_NB) == 0 ||
                        (made && errno != EWOULDBLOCK);  // a disk without locks: never taken for a left one
    struct stat found {};
    if (!locked || ::fstat(folder.number(), &found) != 0 || found.st_nlink == 0) continue;
    if (made) return HiddenFolder{name, std::move(folder)};
    if (remove_hidden_folder(system, parent, name)) --number;  // now free
  }
  return too_many(target);
}

// As for folders: a hidden file that nobody holds locked was left by a killed run.
Result<HiddenFile> claim_hidden_file(const Target& target, FileSystem& system) {
  const int parent = target.folder.number();
  for (int number = 1; number <= kHiddenNames; ++number) {
    const std::string name = target.hidden_name(number);
    OpenFile file = open_fully(system, parent, name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0666);
    if (!file && errno != EEXIST) return file_problem("make a file beside the output", target.path, errno);
    struct stat found {};
    if (file) {
      const bool locked = ::flock(file.number(), LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK;
      if (locked && ::fstat(file.number(), &found) == 0 && found.st_nlink > 0) {
        return HiddenFile{name, std::move(file)};
      }
      continue;
    }
    const OpenFile left = open_fully(system, parent, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK);
    if (left && ::fstat(left.number(), &found) == 0 && S_ISREG(found.st_mode) &&
        ::flock(left.number(), LOCK_EX | LOCK_NB) == 0 && system.remove_at(parent, name.c_str(), 0) == 0) {
      --number;
    }
  }
  return too_many(target);
}

}  // namespace lastwright
