#include "cli/exit_codes.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <regex>
#include <set>
#include <string>

#include "tests/support/places.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;

namespace {

// The numbers that `pattern` captures in a file of the project.
std::set<int> numbers_in(const std::string& file, const std::string& pattern) {
  const std::string text = test::read_bytes(test::project_dir() + "/" + file);
  const std::regex wanted(pattern);
  std::set<int> found;
  for (std::sregex_iterator it(text.begin(), text.end(), wanted), end; it != end; ++it)
    found.insert(std::stoi((*it)[1]));
  return found;
}

}  // namespace

TEST_CASE("the README documents the exit codes there are", "[exit codes]") {
  const std::set<int> coded = numbers_in("cli/exit_codes.hpp", R"(k[A-Za-z]+ = (\d+),)");
  const std::set<int> documented = numbers_in("README.md", R"(\n\| (\d+) \|)");
  CHECK(coded.size() == 8);
  CHECK(coded == documented);
}
