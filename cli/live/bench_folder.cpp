#include "cli/live/bench_folder.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>

namespace lastwright {

namespace {

constexpr std::size_t kMostNames = 500;

std::filesystem::path folder_holding(const std::string& style) {
  const std::filesystem::path folder = std::filesystem::path(style).parent_path();
  return folder.empty() ? std::filesystem::path(".") : folder;
}

bool ends_so(const std::string& name, std::string_view ending) {
  return name.size() > ending.size() &&
         std::equal(ending.rbegin(), ending.rend(), name.rbegin(), [](char a, char b) {
           return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
         });
}

}  // namespace

std::vector<std::string> names_beside(const std::string& style, std::string_view ending) {
  std::vector<std::string> names;
  std::error_code error;
  for (std::filesystem::directory_iterator at(folder_holding(style), error), end; !error && at != end;
       at.increment(error)) {
    std::error_code unknown;
    const std::filesystem::file_status status = at->symlink_status(unknown);
    std::string name = at->path().filename().string();
    if (unknown || !std::filesystem::is_regular_file(status) || name.front() == '.' || !ends_so(name, ending))
      continue;
    names.push_back(std::move(name));
    if (names.size() == kMostNames) break;
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::optional<std::string> beside(const std::string& style, std::string_view ending, std::string_view name) {
  const std::vector<std::string> names = names_beside(style, ending);
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return std::nullopt;
  const std::filesystem::path parent = std::filesystem::path(style).parent_path();
  return (parent / *found).string();
}

}  // namespace lastwright
