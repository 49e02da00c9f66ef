#include "cli/live/bench_folder.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/json/json_text.hpp"
#include "grading/sizes/small_letters.hpp"

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

std::string path_beside(const std::string& style, const std::string& name) {
  return (std::filesystem::path(style).parent_path() / name).string();
}

bool says_style(const std::string& path) {
  constexpr std::size_t kMostBytes = std::size_t{16} << 20;  // as much as a style may have
  const Result<std::string> text = read_file(path, kMostBytes);
  if (!text || text->find("lastwright_style") == std::string::npos) return false;  // most are sorted out here
  const Result<JsonDocument> document = parse_json(*text, path);
  return document && document->root.is_object() && document->root.contains("lastwright_style");
}

// What cannot be read is no hide for certain: it is offered, and what is wrong with it told when it is taken.
bool is_hide(const std::string& path) {
  const Result<std::string> bytes = read_file(path);
  if (!bytes || small_letters(*bytes).find("hide") == std::string::npos) return false;
  DxfReadOptions options;
  options.file_name = path;
  options.unit_may_default = true;
  const Result<Drawing> drawing = read_dxf(*bytes, options);
  return drawing && std::any_of(drawing->paths.begin(), drawing->paths.end(),
                                [](const DrawnPath& one) { return small_letters(one.from.layer) == "hide"; });
}

}  // namespace

std::vector<std::string> styles_beside(const std::string& style) {
  std::vector<std::string> names = names_beside(style, ".json");
  const std::string own = std::filesystem::path(style).filename().string();
  std::erase_if(names,
                [&](const std::string& one) { return one == own || !says_style(path_beside(style, one)); });
  return names;
}

std::vector<std::string> drawings_beside(const std::string& style) {
  std::vector<std::string> names = names_beside(style, ".dxf");
  std::erase_if(names, [&](const std::string& one) { return is_hide(path_beside(style, one)); });
  return names;
}

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
  return path_beside(style, *found);
}

}  // namespace lastwright
