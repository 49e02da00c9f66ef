#include "cli/file_digests.hpp"

#include <algorithm>
#include <filesystem>

#include "cli/sha256.hpp"
#include "geometry/files/read_file.hpp"

namespace lastwright {

Result<FileDigests> file_digests(const std::vector<std::string>& files) {
  namespace fs = std::filesystem;
  FileDigests all;
  for (const std::string& file : files) {
    std::error_code error;
    if (fs::is_directory(file, error)) continue;
    const Result<std::string> bytes = read_file(file);
    if (!bytes) return bytes.problem();
    all.emplace_back(fs::path(file).filename().string(), to_hex(sha256(*bytes)));
  }
  return all;
}

std::vector<std::string> changed_since(const FileDigests& then, const FileDigests& now) {
  std::vector<std::string> changed;
  for (const auto& [name, digest] : now) {
    const auto found =
        std::find_if(then.begin(), then.end(), [&](const auto& one) { return one.first == name; });
    const bool same = found != then.end() && found->second == digest;
    if (!same) changed.push_back(name);
  }
  return changed;
}

}  // namespace lastwright
