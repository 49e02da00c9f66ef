#include "grading/measures/embedded.hpp"

namespace lastwright {

std::optional<std::string_view> embedded_file(std::string_view name) {
  for (const EmbeddedFile& file : embedded_files()) {
    if (file.name == name) return file.text;
  }
  return std::nullopt;
}

}  // namespace lastwright
