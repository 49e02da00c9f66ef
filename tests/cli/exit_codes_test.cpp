#include "cli/exit_codes.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <set>
#include <string>

#include "tests/support/places.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;

namespace {

// The numbers that stand in a file of the project between these words, and nothing else between them.
std::set<int> numbers_in(const std::string& file, const std::string& before, const std::string& behind) {
  const std::string text = test::read_bytes(test::project_dir() + "/" + file);
  std::set<int> found;
  for (std::size_t at = 0; (at = text.find(before, at)) != std::string::npos;) {
    at += before.size();
    const std::size_t end = text.find_first_not_of("0123456789", at);
    if (end != at && end != std::string::npos && text.compare(end, behind.size(), behind) == 0)
      found.insert(std::stoi(text.substr(at, end - at)));
  }
  return found;
}

}  // namespace

TEST_CASE("the README documents the exit codes there are", "[exit codes]") {
  const std::set<int> coded = numbers_in("cli/exit_codes.hpp", " = ", ",");
  const std::set<int> documented = numbers_in("README.md", "\n| ", " |");
  CHECK(coded.size() == 8);
  CHECK(coded == documented);
}
