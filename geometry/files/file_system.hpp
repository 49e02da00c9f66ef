// The few calls that change a disk, behind one small seam, so that tests can make any of them fail.
//
// Every function has the meaning and the errno of its POSIX namesake. Loops over short writes and interrupted
// calls belong to the callers below, not to the seam.
#pragma once

#include <sys/types.h>

#include <cstddef>
#include <string>
#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

class FileSystem {
 public:
  virtual ~FileSystem() = default;
  virtual int open_at(int folder, const char* name, int flags, mode_t mode);
  virtual int make_folder_at(int folder, const char* name, mode_t mode);
  virtual ssize_t write(int file, const void* bytes, std::size_t count);
  virtual int sync(int file);             // fsync
  virtual int sync_everything(int file);  // syncfs: the whole file system that holds `file`
  virtual int close(int file);
  virtual int rename_at(int folder, const char* from, const char* to, unsigned flags);  // renameat2
  virtual int link_at(int folder, const char* from, const char* to);
  virtual int remove_at(int folder, const char* name, int flags);  // unlinkat
};

FileSystem& real_file_system();

// An open file or folder that is closed when it goes; -1 for none.
class OpenFile {
 public:
  OpenFile() = default;
  OpenFile(FileSystem& system, int number) : system_(&system), number_(number) {}
  OpenFile(OpenFile&& other) noexcept : system_(other.system_), number_(other.release()) {}
  OpenFile& operator=(OpenFile&& other) noexcept {
    if (this != &other) {
      close();
      system_ = other.system_;
      number_ = other.release();
    }
    return *this;
  }
  ~OpenFile() { close(); }
  [[nodiscard]] int number() const { return number_; }
  explicit operator bool() const { return number_ >= 0; }
  // 0, or -1 with errno: a network disk may tell only here that it is full.
  int close() { return number_ < 0 ? 0 : system_->close(release()); }

 private:
  int release() {
    const int number = number_;
    number_ = -1;
    return number;
  }
  FileSystem* system_ = nullptr;
  int number_ = -1;
};

// Writes everything, through short writes and interruptions. 0, or the errno.
int write_fully(FileSystem& system, int file, std::string_view bytes);
// As fsync / syncfs, again after an interruption. 0, or the errno.
int sync_fully(FileSystem& system, int file);
int sync_everything_fully(FileSystem& system, int file);
// As rename_at, again after an interruption. 0, or the errno.
int rename_fully(FileSystem& system, int folder, const char* from, const char* to, unsigned flags);
// As open_at, again after an interruption.
OpenFile open_fully(FileSystem& system, int folder, const char* name, int flags, mode_t mode = 0);

// What failed, on which file, why, and what would do.
Problem file_problem(std::string_view doing, std::string_view path, int error);

// A full disk or a closed pipe shall come back as an error of the write, not end the program by a signal.
// Once, in main.
void ignore_write_signals();

}  // namespace lastwright
