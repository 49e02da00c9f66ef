// A file system that fails, once or from then on, at a chosen call.
#pragma once

#include <atomic>
#include <cerrno>
#include <string>

#include "geometry/files/file_system.hpp"

namespace lastwright {

class FaultyFileSystem : public FileSystem {
 public:
  long fail_at = -1;        // number of the call that fails, from 0; -1: none
  int error = EIO;          // what it fails with
  bool for_ever = false;    // every later call of the same kind fails too, as on a full disk
  std::size_t shorten = 0;  // writes take at most this many bytes; 0: all
  std::atomic<long> calls{0};
  std::atomic<long> faults{0};

  int open_at(int folder, const char* name, int flags, mode_t mode) override {
    return fails("open") ? -1 : FileSystem::open_at(folder, name, flags, mode);
  }
  int make_folder_at(int folder, const char* name, mode_t mode) override {
    return fails("mkdir") ? -1 : FileSystem::make_folder_at(folder, name, mode);
  }
  ssize_t write(int file, const void* bytes, std::size_t count) override {
    if (fails("write")) return -1;
    return FileSystem::write(file, bytes, shorten > 0 && count > shorten ? shorten : count);
  }
  int sync(int file) override { return fails("fsync") ? -1 : FileSystem::sync(file); }
  int sync_everything(int file) override { return fails("syncfs") ? -1 : FileSystem::sync_everything(file); }
  int close(int file) override {
    const int done = FileSystem::close(file);  // closed all the same, as on Linux
    return fails("close") ? -1 : done;
  }
  int rename_at(int folder, const char* from, const char* to, unsigned flags) override {
    return fails("rename") ? -1 : FileSystem::rename_at(folder, from, to, flags);
  }
  int link_at(int folder, const char* from, const char* to) override {
    return fails("link") ? -1 : FileSystem::link_at(folder, from, to);
  }
  int remove_at(int folder, const char* name, int flags) override {
    return fails("unlink") ? -1 : FileSystem::remove_at(folder, name, flags);
  }

 private:
  bool fails(const char* kind) {
    const long call = calls++;
    if (call == fail_at) failing_ = kind;
    if (call != fail_at && !(for_ever && failing_ == kind)) return false;
    ++faults;
    errno = error;
    return true;
  }
  std::string failing_;
};

}  // namespace lastwright
