#include "grading/jobs/style_files.hpp"

#include <algorithm>

#include "geometry/files/read_file.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

Result<std::vector<std::string>> style_files(const std::string& path,
                                             const std::vector<std::string>& tables) {
  const Result<std::string> text = read_file(path);
  if (!text) return text.problem();
  const StyleRead read = read_style(*text, path);
  if (!read.ok()) return read.problems.front();
  std::vector<std::string> files;
  const auto add = [&](const std::string& file) {
    if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
  };
  add(path);
  for (const std::string& table : tables) add(table);
  for (const std::string& table : read.style->table_files) add(file_beside(path, table));
  for (const DrawingSpec& drawing : read.style->drawings) add(file_beside(path, drawing.file));
  for (const FormeSpec& forme : read.style->formes) {
    if (forme.rules_from_last) add(file_beside(path, forme.rules_from_last->file));
  }
  return files;
}

}  // namespace lastwright
