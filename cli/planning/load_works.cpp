#include "cli/planning/load_works.hpp"

#include "geometry/files/read_file.hpp"

namespace lastwright {

Checked<WorksSpec> load_works(const std::string& file) {
  const Result<std::string> text = read_file(file);
  if (!text) return text.problem();
  return read_works(*text, file);
}

}  // namespace lastwright
