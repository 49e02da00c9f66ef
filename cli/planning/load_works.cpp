#include "cli/planning/load_works.hpp"

#include "geometry/files/read_file.hpp"
#include "grading/planning/works_json.hpp"

namespace lastwright {

Result<WorksSpec> load_works(const std::string& file) {
  const Result<std::string> text = read_file(file);
  if (!text) return text.problem();
  WorksRead read = read_works(*text, file);
  if (!read.problems.empty()) return read.problems.front();
  return std::move(read.works);
}

}  // namespace lastwright
