#include "geometry/files/file_system.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>

namespace lastwright {

int FileSystem::open_at(int folder, const char* name, int flags, mode_t mode) {
  return ::openat(folder, name, flags | O_CLOEXEC, mode);
}
int FileSystem::make_folder_at(int folder, const char* name, mode_t mode) {
  return ::mkdirat(folder, name, mode);
}
ssize_t FileSystem::write(int file, const void* bytes, std::size_t count) {
  return ::write(file, bytes, count);
}
int FileSystem::sync(int file) {
  return ::fsync(file);
}
int FileSystem::sync_everything(int file) {
  return ::syncfs(file);
}
int FileSystem::close(int file) {
  return ::close(file);
}
int FileSystem::rename_at(int folder, const char* from, const char* to, unsigned flags) {
  return ::renameat2(folder, from, folder, to, flags);
}
int FileSystem::link_at(int folder, const char* from, const char* to) {
  return ::linkat(folder, from, folder, to, 0);
}
int FileSystem::remove_at(int folder, const char* name, int flags) {
  return ::unlinkat(folder, name, flags);
}

FileSystem& real_file_system() {
  static FileSystem system;
  return system;
}

int write_fully(FileSystem& system, int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = system.write(file, bytes.data(), bytes.size());
    if (written > 0) {
      bytes.remove_prefix(static_cast<std::size_t>(written));
    } else if (written == 0) {
      return EIO;  // a device that takes nothing and does not say why would be asked for ever
    } else if (errno != EINTR) {
      return errno;
    }
  }
  return 0;
}

int sync_fully(FileSystem& system, int file) {
  while (system.sync(file) != 0) {
    // Pipes and some devices cannot be synced; there is nothing to wait for.
    if (errno == EINVAL || errno == ENOTSUP) return 0;
    if (errno != EINTR) return errno;
  }
  return 0;
}

int sync_everything_fully(FileSystem& system, int file) {
  while (system.sync_everything(file) != 0) {
    if (errno != EINTR) return errno;
  }
  return 0;
}

int rename_fully(FileSystem& system, int folder, const char* from, const char* to, unsigned flags) {
  while (system.rename_at(folder, from, to, flags) != 0) {
    if (errno != EINTR) return errno;
  }
  return 0;
}

OpenFile open_fully(FileSystem& system, int folder, const char* name, int flags, mode_t mode) {
  int number = -1;
  do {
    number = system.open_at(folder, name, flags, mode);
  } while (number < 0 && errno == EINTR);
  return {system, number};
}

namespace {

const char* advice(int error) {
  switch (error) {
    case ENOSPC:
      return "free some space or name a folder on another disk";
    case EDQUOT:
      return "your quota is used up; free some space or name a folder on another disk";
    case EFBIG:
      return "the file-size limit of this session is too small (see ulimit -f)";
    case EACCES:
    case EPERM:
      return "name a folder that you may write to";
    case EROFS:
      return "that disk is mounted read-only; name a folder elsewhere";
    case EIO:
      return "the disk reports an error; check it before you trust what lies on it";
    case ENOENT:
      return "create its folder first";
    case ENOTDIR:
      return "a part of that path is a file";
    case ENAMETOOLONG:
      return "choose a shorter name";
    case EMFILE:
    case ENFILE:
      return "too many files are open; raise the limit (see ulimit -n)";
    case EBUSY:
      return "it is in use as a mount point; name a folder inside it";
    case EPIPE:
      return "the program that was reading the output has gone";
    default:
      return "";
  }
}

}  // namespace

Problem file_problem(std::string_view doing, std::string_view path, int error) {
  const char* reason = ::strerrordesc_np(error);  // not translated: the same words in every locale
  const char* remedy = advice(error);
  Problem problem;
  problem.trouble = Trouble::kFileSystem;
  problem.place.file = path;
  problem.message = fmt::format("cannot {}: {}{}{}", doing, reason != nullptr ? reason : "unknown error",
                                *remedy != '\0' ? "; " : "", remedy);
  return problem;
}

void ignore_write_signals() {
  std::signal(SIGXFSZ, SIG_IGN);
  std::signal(SIGPIPE, SIG_IGN);
}

}  // namespace lastwright
