// The schema of a last's file and the reader of it say the same.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "grading/json/json_schema.hpp"
#include "grading/lasts/last_spec.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

std::string text_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

bool by_schema(const std::string& text) {
  static const JsonSchema schema(text_of(test::project_dir() + "/grading/lasts/last.schema.json"));
  const Result<JsonDocument> document = parse_json(text, "last.json");
  return document.ok() && schema.check(*document).empty();
}

}  // namespace

TEST_CASE("what the schema of a last allows the reader reads, and no more", "[last][spec]") {
  const std::string head = R"({"lastwright_last": 1, "style": "s.json", )";
  const std::string base = R"("bases": [{"file": "a.step", "size": "8", "width": "F")";
  for (
      const std::string& good :
      {text_of(test::project_dir() + "/demo-patterns/cindergarth/last.json"), head + base + "}]}",
       head + base + R"(, "heel_height": "2 in", "axes": "-y,z"}], "note": "n", "targets": ["tread"]})",
       head + base +
           R"(}], "rules": {"heel height": {"per_size": "0.3 mm", "per_width": 1}, "top plane": {}}})",
       head + base +
           R"(}], "foot": "right", "landmarks": {"ankle top": 0.5, "toe top": {"face": 0, "u": 1, "v": 0.5}}})",
       head + base +
           R"(}], "table_definitions": {"seat": "x v1"}, "bottom_follows_style": true, "sound_sizes": 3})"}) {
    INFO(good);
    CHECK(by_schema(good));
    CHECK(read_last_spec(good, "last.json").ok());
  }
  for (const std::string& bad :
       {head + R"("bases": []})", head + base + R"(, "heel": 3}]})", R"({"style": "s.json", )" + base + "}]}",
        head + base + R"(, "axes": 3}]})", head + base + R"(}], "targets": "tread"})",
        head + base + R"(}], "rules": {"heel": {}}})",
        head + base + R"(}], "landmarks": {"toe top": "far"}})", head + base + R"(}], "sound_widths": -1})",
        head + base + R"(}], "bottom_follows_style": 1})", head + base + R"(}], "foot": "both"})",
        head + base + R"(}], "foot": 1})", head + base + R"(, "foot": "left"}]})"}) {
    INFO(bad);
    CHECK_FALSE(by_schema(bad));
    CHECK_FALSE(read_last_spec(bad, "last.json").ok());
  }
}
