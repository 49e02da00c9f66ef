// The keys of the files that people write, printed by the program from the schemas that its readers check by.
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <string>
#include <utility>

#include "grading/json/json_schema.hpp"
#include "tests/support/outline_keys.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using lastwright::test::run_binary;

namespace {

Json json_of(const std::string& text) {
  const Result<JsonDocument> document = parse_json(text, "schema");
  REQUIRE(document.ok());
  return document->root;
}

}  // namespace

TEST_CASE("every JSON file that people write has its keys listed, and its schema printed as it is",
          "[keys]") {
  const std::string listed = run_binary("keys").output;
  for (const auto& [name, path] : {std::pair{"style", "grading/style/style.schema.json"},
                                   {"last", "grading/lasts/last.schema.json"},
                                   {"works", "grading/planning/works.schema.json"},
                                   {"die-rules", "grading/dies/die_rules.schema.json"},
                                   {"table", "reference-tables/schema.json"},
                                   {"kind", "reference-tables/kinds/schema.json"}}) {
    INFO(name);
    CHECK(listed.find("\n" + std::string(name) + " ") != std::string::npos);
    std::ifstream in(test::project_dir() + "/" + path, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const auto printed = run_binary("keys " + std::string(name) + " --schema");
    CHECK(printed.exit_code == 0);
    CHECK(json_of(printed.output) == json_of(text));
    const auto outline = run_binary("keys " + std::string(name));
    CHECK(outline.exit_code == 0);
    CHECK(test::explained_keys(JsonSchema(text), outline.output) > 20);
  }
  const auto wrong = run_binary("keys lst");
  CHECK(wrong.exit_code == 2);
  CHECK(wrong.output.find("did you mean \"last\"?") != std::string::npos);
}
