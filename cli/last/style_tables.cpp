#include "cli/last/style_tables.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "cli/last/base_last.hpp"
#include "grading/jobs/load_tables.hpp"
#include "grading/json/json_text.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_measures.hpp"
#include "grading/style/style_run.hpp"

namespace lastwright {

std::string beside(const std::string& file, const std::string& name) {
  const std::filesystem::path path(name);
  return path.is_absolute() ? name : (std::filesystem::path(file).parent_path() / path).string();
}

namespace {

// A girth is shared between the last's upper and its bottom: each of its formes has to say which it is.
Status girths_have_roles(const StyleSpec& style) {
  for (const GirthSpec& girth : style.girths) {
    for (const GirthPart& part : girth.parts) {
      for (const FormeSpec& forme : style.formes) {
        if (forme.name != part.forme || role_of(forme)) continue;
        Problem problem = bad_value(fmt::format(
            "the {} runs over the forme {}, and nothing says whether that is the last's upper or its "
            "bottom: give the forme \"role\": \"upper\" or \"bottom\"",
            girth.measure, forme.name));
        problem.place.pointer = pointer_to("/formes", forme.name);
        return problem;
      }
    }
  }
  return Done{};
}

}  // namespace

Result<StyleTables> load_style_tables(const std::string& file) {
  const Result<std::string> text = read_bytes(file);
  if (!text) return text.problem();
  StyleRead read = read_style(*text, file);
  if (!read.ok()) return read.problems.front();
  if (const Status roles = girths_have_roles(*read.style); !roles) return roles.problem().in_file(file);
  std::vector<std::string> files;
  for (const std::string& own : read.style->table_files) files.push_back(beside(file, own));
  const Result<ReferenceTables> tables = load_tables(files);
  if (!tables) return tables.problem();
  files.push_back(file);
  Result<Scale> scale = tables->find_scale(read.style->scale);
  if (!scale) return scale.problem().in_file(file);
  Result<Ladder> ladder = tables->find_ladder(read.style->ladder);
  if (!ladder) return ladder.problem().in_file(file);
  Result<MeasureTable> table = measure_table(*read.style, *scale, *ladder);
  if (!table) return table.problem().in_file(file);
  Result<SizeRun> run = size_run(*read.style, *scale, *ladder);
  if (!run) return run.problem().in_file(file);
  return StyleTables{std::move(*read.style), std::move(*scale), std::move(*ladder),
                     std::move(*table),      std::move(*run),   std::move(files)};
}

}  // namespace lastwright
