// A folder of its own for one test, gone afterwards.
#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

namespace lastwright {

class ScratchFolder {
 public:
  enum Where { kOnDisk, kInMemory };  // in memory where there is such a disk: syncing is free there
  explicit ScratchFolder(Where where = kInMemory) {
    const bool memory = where == kInMemory && ::access("/dev/shm", W_OK) == 0;
    const std::filesystem::path base = memory ? "/dev/shm" : std::filesystem::temp_directory_path();
    std::string name = (base / "lastwright-test-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  return all.str();
}

inline void put(const std::filesystem::path& file, const std::string& bytes) {
  std::ofstream(file, std::ios::binary) << bytes;
}

// Every file below a folder with its bytes; hidden ones too.
inline std::map<std::string, std::string> contents(const std::filesystem::path& folder) {
  std::map<std::string, std::string> files;
  if (!std::filesystem::is_directory(folder)) return files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file())
      files[entry.path().lexically_relative(folder).string()] = bytes_of(entry.path());
  }
  return files;
}

}  // namespace lastwright
