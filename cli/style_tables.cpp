#include "cli/style_tables.hpp"

#include <filesystem>

#include "cli/load_tables.hpp"
#include "cli/read_file.hpp"
#include "grading/style_json.hpp"

namespace lastwright {
namespace {

template <class T>
StyleTablesRead failed(const Result<T>& result, const std::string& file, const char* pointer = nullptr) {
  Problem problem = result.problem();
  if (pointer && problem.place.file.empty()) problem.place.pointer = pointer;
  return {{}, {problem.in_file(file)}};
}

}  // namespace

StyleTablesRead read_style_tables(const std::string& style_file,
                                  const std::vector<std::string>& more_tables) {
  const Result<std::string> text = read_file(style_file);
  if (!text) return {{}, {text.problem()}};
  StyleRead read = read_style(*text, style_file);
  if (!read.style) return {{}, std::move(read.problems)};
  StyleTables found;
  found.style = *std::move(read.style);
  std::vector<std::string> files = more_tables;
  const std::filesystem::path folder = std::filesystem::path(style_file).parent_path();
  for (const std::string& file : found.style.table_files) files.push_back((folder / file).string());
  auto tables = load_tables(files);
  if (!tables) return {{}, {tables.problem()}};
  found.tables = *std::move(tables);
  auto scale = found.tables.find_scale(found.style.scale);
  if (!scale) return failed(scale, style_file, "/scale");
  found.scale = *std::move(scale);
  auto ladder = found.tables.find_ladder(found.style.ladder);
  if (!ladder) return failed(ladder, style_file, "/ladder");
  found.ladder = *std::move(ladder);
  auto run = size_run(found.style, found.scale, found.ladder);
  if (!run) return failed(run, style_file);
  found.run = *std::move(run);
  auto measures = measure_table(found.style, found.scale, found.ladder);
  if (!measures) return failed(measures, style_file);
  found.measures = *std::move(measures);
  return {std::move(found), {}};
}

}  // namespace lastwright
