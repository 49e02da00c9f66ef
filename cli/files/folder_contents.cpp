#include "cli/files/folder_contents.hpp"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string_view>
#include <unordered_set>
#include <vector>

namespace lastwright {

namespace {

struct Entry {
  std::string name;
  bool folder = false;
};

// The entries of an open folder, "." and ".." left out. 0, or the errno.
int list(int folder, std::vector<Entry>& entries) {
  const int copy = ::dup(folder);  // closedir closes what it is given
  if (copy < 0) return errno;
  DIR* stream = ::fdopendir(copy);
  if (stream == nullptr) {
    const int error = errno;
    ::close(copy);
    return error;
  }
  ::rewinddir(stream);
  errno = 0;
  while (const dirent* entry = ::readdir(stream)) {
    const std::string_view name = entry->d_name;
    if (name == "." || name == "..") continue;
    bool is_folder = entry->d_type == DT_DIR;
    if (entry->d_type == DT_UNKNOWN) {
      struct stat found {};
      is_folder =
          ::fstatat(folder, entry->d_name, &found, AT_SYMLINK_NOFOLLOW) == 0 && S_ISDIR(found.st_mode);
    }
    entries.push_back({std::string(name), is_folder});
    errno = 0;
  }
  const int error = errno;
  ::closedir(stream);
  return error;
}

constexpr int kFolderFlags = O_RDONLY | O_DIRECTORY | O_NOFOLLOW;

std::string first_unlisted_below(FileSystem& system, int folder, const std::string& prefix,
                                 const std::unordered_set<std::string>& listed) {
  std::vector<Entry> entries;
  if (list(folder, entries) != 0) return prefix.empty() ? "." : prefix;
  for (const Entry& entry : entries) {
    std::string path = prefix + entry.name;
    if (!entry.folder) {
      if (!listed.contains(path)) return path;
      continue;
    }
    const OpenFile below = open_fully(system, folder, entry.name.c_str(), kFolderFlags);
    if (!below) return path;
    if (std::string found = first_unlisted_below(system, below.number(), path + "/", listed);
        !found.empty()) {
      return found;
    }
  }
  return {};
}

}  // namespace

int remove_tree(FileSystem& system, int parent, const std::string& name) {
  {
    const OpenFile folder = open_fully(system, parent, name.c_str(), kFolderFlags);
    if (!folder) return errno;
    std::vector<Entry> entries;
    if (const int error = list(folder.number(), entries); error != 0) return error;
    for (const Entry& entry : entries) {
      if (entry.folder) {
        if (const int error = remove_tree(system, folder.number(), entry.name); error != 0) return error;
      } else if (system.remove_at(folder.number(), entry.name.c_str(), 0) != 0) {
        return errno;
      }
    }
  }
  return system.remove_at(parent, name.c_str(), AT_REMOVEDIR) == 0 ? 0 : errno;
}

bool is_empty_folder(FileSystem& system, int parent, const std::string& name) {
  const OpenFile folder = open_fully(system, parent, name.c_str(), kFolderFlags);
  std::vector<Entry> entries;
  return folder && list(folder.number(), entries) == 0 && entries.empty();
}

Result<Manifest> read_manifest(FileSystem& system, int parent, const std::string& folder) {
  constexpr std::size_t kMostBytes = std::size_t{64} << 20;  // half a million files
  const std::string path = folder + "/" + kManifestName;
  const OpenFile file = open_fully(system, parent, path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK);
  if (!file) return file_problem("read the manifest", path, errno);
  std::string bytes;
  char part[1 << 16];
  while (bytes.size() <= kMostBytes) {
    const ssize_t count = ::read(file.number(), part, sizeof part);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return file_problem("read the manifest", path, errno);
    if (count == 0) return parse_manifest(bytes);
    bytes.append(part, static_cast<std::size_t>(count));
  }
  return Problem{
      Trouble::kBudget, "the manifest is larger than any that lastwright writes", {path, 0, {}, {}}, {}, {}};
}

std::string first_unlisted(FileSystem& system, int parent, const std::string& folder,
                           const Manifest& manifest) {
  std::unordered_set<std::string> listed{kManifestName};
  for (const ManifestEntry& file : manifest.files) listed.insert(file.name);
  const OpenFile open = open_fully(system, parent, folder.c_str(), kFolderFlags);
  if (!open) return folder;
  return first_unlisted_below(system, open.number(), "", listed);
}

}  // namespace lastwright
