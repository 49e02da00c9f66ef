#include "cli/files/file_digests.hpp"

#include <algorithm>
#include <filesystem>

#include "cli/files/sha256.hpp"
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

std::vector<std::string> order_is_stale(const FileDigests& then, const FileDigests& now) {
  std::vector<std::string> said;
  for (const auto& [name, digest] : now) {
    const auto found =
        std::find_if(then.begin(), then.end(), [&](const auto& one) { return one.first == name; });
    if (found != then.end() && found->second == digest) continue;
    const std::string made = found != then.end() ? "from another " : "from other files, without ";
    said.push_back("the die order was made " + made + name + ": have it made again");
  }
  return said;
}

}  // namespace lastwright
