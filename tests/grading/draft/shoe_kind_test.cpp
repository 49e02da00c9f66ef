#include "grading/draft/shoe_kind.hpp"

#include <catch2/catch.hpp>
#include <filesystem>

#include "tests/support/places.hpp"

using namespace lastwright;

TEST_CASE("every kind of shoe is read, named by its file, and says where it comes from", "[draft]") {
  std::size_t files = 0;
  for (const auto& file : std::filesystem::directory_iterator(std::filesystem::path(test::project_dir()) /
                                                              "reference-tables/kinds")) {
    if (file.path().extension() != ".json" || file.path().stem() == "schema" || file.path().stem() == "shoe")
      continue;
    const std::string key = file.path().stem().string();
    INFO(key);
    ++files;
    const Result<ShoeKind> kind = shoe_kind({key});
    if (!kind) UNSCOPED_INFO(to_text(kind.problem()));
    REQUIRE(kind);
    CHECK(kind->keys == std::vector<std::string>{"shoe", key});
    for (const std::string& source : kind->sources) CHECK_FALSE(source.empty());
    const auto known = shoe_kinds();
    CHECK(std::find(known.begin(), known.end(), key) != known.end());
    // What is measured has steps, whatever the user gives.
    for (const KindLine& line : kind->lines) {
      for (const auto& [measure, share] : line.carries) {
        INFO(line.name << " carries " << measure);
        CHECK((measure == "stick length" || kind->measures.contains(measure)));
      }
    }
  }
  CHECK(files == shoe_kinds().size());
  CHECK(files >= 7);
}

TEST_CASE("a kind that nobody knows is refused with those there are", "[draft]") {
  const Result<ShoeKind> kind = shoe_kind({"derbi"});
  REQUIRE_FALSE(kind);
  CHECK_THAT(to_text(kind.problem()), Catch::Contains("did you mean \"derby\"") && Catch::Contains("oxford"));
}

TEST_CASE("a kind laid over another takes the place of what has its name", "[draft]") {
  Result<ShoeKind> kind = shoe_kind({});
  REQUIRE(kind);
  const std::size_t lines = kind->lines.size();
  CHECK(kind->under("vamp", 1.0, "quarter", 1.0));
  const Status laid = lay_kind_over(*kind, R"({"lastwright_kind": 1, "key": "own", "title": "Own",
    "source": {"text": "of the test", "provenance": "common practice"},
    "lines": [{"line": "ball line", "forme": "upper", "from": "ball top", "to": "joint", "share_of": "stick length"}],
    "over": ["quarter", "vamp"], "edges": {"uppers": {"feather": {"treatment": "lasting", "allowance": 21}}}})",
                                    "own.json");
  if (!laid) UNSCOPED_INFO(to_text(laid.problem()));
  REQUIRE(laid);
  CHECK(kind->lines.size() == lines);
  CHECK_FALSE(kind->under("vamp", 1.0, "quarter", 1.0));
  CHECK(kind->usual("uppers", EdgeRole::kFeather).allowance == 21);
  CHECK(kind->usual("uppers", EdgeRole::kTopLine).allowance == 4);
  const Status wrong = lay_kind_over(*kind, R"({"lastwright_kind": 1, "key": "own", "title": "Own",
    "source": {"text": "", "provenance": "common practice"},
    "lines": [{"line": "a", "from": "b", "to": "c"}]})",
                                     "own.json");
  REQUIRE_FALSE(wrong);
  CHECK_THAT(to_text(wrong.problem()), Catch::Contains("own.json") && Catch::Contains("carries"));
}
