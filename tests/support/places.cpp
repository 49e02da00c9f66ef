#include "tests/support/places.hpp"

namespace lastwright::test {

const std::string& project_dir() {
  static const std::string folder = PROJECT_DIR;
  return folder;
}

std::string demo_style() {
  return project_dir() + "/demo-patterns/cindergarth/style.json";
}

const std::string& program_file() {
  static const std::string file = LASTWRIGHT_BINARY;
  return file;
}

}  // namespace lastwright::test
