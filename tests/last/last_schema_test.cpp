// The schema of a last's file and the reader of it say the same.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>

#include "grading/json/json_schema.hpp"
#include "grading/lasts/last_schema.hpp"
#include "grading/lasts/last_spec.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

std::string text_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

bool by_schema(const std::string& text) {
  const Result<JsonDocument> document = parse_json(text, "last.json");
  return document.ok() && last_schema().check(*document).empty();
}

// A value that a node of the schema allows.
Json sample_of(const Json& given) {
  const Json& node = last_schema().resolved(given);
  if (node.contains("const")) return node["const"];
  if (node.contains("enum")) return node["enum"][0];
  if (node.contains("anyOf")) return sample_of(node["anyOf"].back());
  if (node.contains("pattern")) return "-y,z";
  const Json& type = node["type"];
  if (type.is_array() || type == "integer") return 1;
  if (type == "number") return 0.5;
  if (type == "boolean") return true;
  if (type == "string") return "8";
  if (type == "array") return Json::array({sample_of(node["items"])});
  Json object = Json::object();
  for (const Json& key : node.value("required", Json::array()))
    object[key.get<std::string>()] = sample_of(node["properties"][key.get<std::string>()]);
  if (node.contains("additionalProperties") && node["additionalProperties"].is_object())
    object["seat outside"] = sample_of(node["additionalProperties"]);
  return object;
}

// Calls `seen` for each object that a last's file may hold: with the file as it must be at the least to hold
// it, the place, and the keys that it may have.
using Seen = std::function<void(const Json& file, const std::string& at, const Json& keys)>;
void each_object(const Json& given, const Json& file, const std::string& at, const Seen& seen) {
  const Json& node = last_schema().resolved(given);
  const auto below = [&](const Json& child, const std::string& place) {
    Json longer = file;
    Json& spot = longer[Json::json_pointer(place)];
    if (spot.is_null()) spot = sample_of(child);
    each_object(child, longer, place, seen);
  };
  if (node.contains("properties")) {
    seen(file, at, node["properties"]);
    for (const auto& [key, child] : node["properties"].items()) below(child, pointer_to(at, key));
  }
  if (node.contains("items")) below(node["items"], at + "/0");
  if (node.contains("additionalProperties") && node["additionalProperties"].is_object())
    below(node["additionalProperties"], at + "/seat outside");
  if (node.contains("anyOf")) {
    for (const Json& branch : node["anyOf"]) {
      if (branch.contains("properties")) each_object(branch, file, at, seen);
    }
  }
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

TEST_CASE("every key of the schema of a last is read where it stands, and no other is", "[last][spec]") {
  std::size_t keys = 0;
  const Json least = sample_of(last_schema().root());
  each_object(last_schema().root(), least, "", [&](const Json& file, const std::string& at, const Json& own) {
    for (const auto& [key, node] : own.items()) {
      INFO(at << " " << key);
      Json with = file;
      Json& object = with[Json::json_pointer(at)];
      object[key] = sample_of(node);
      const Result<LastSpec> read = read_last_spec(with.dump(), "last.json");
      INFO((read.ok() ? "" : to_text(read.problem())));
      CHECK(read.ok());
      object[key + "s"] = sample_of(node);
      const Result<LastSpec> other = read_last_spec(with.dump(), "last.json");
      REQUIRE_FALSE(other.ok());
      CHECK(other.problem().place.pointer == pointer_to(at, key + "s"));
      ++keys;
    }
  });
  CHECK(keys == 34);
}

TEST_CASE("what the schema of a last says holds unless given is what the reader takes", "[last][spec]") {
  const Json least = sample_of(last_schema().root());
  Json said = least;
  for (const auto& [key, node] : last_schema().root()["properties"].items()) {
    if (node.contains("default")) said[key] = node["default"];
  }
  CHECK(said.size() == least.size() + 4);
  const Result<LastSpec> plain = read_last_spec(least.dump(), "last.json");
  const Result<LastSpec> spelled = read_last_spec(said.dump(), "last.json");
  REQUIRE(plain.ok());
  REQUIRE(spelled.ok());
  CHECK(spelled->targets == said["targets"].get<std::vector<std::string>>());
  CHECK(spelled->bottom_follows_style == said["bottom_follows_style"].get<bool>());
  CHECK(spelled->sound_sizes == said["sound_sizes"].get<double>());
  CHECK(spelled->sound_widths == said["sound_widths"].get<double>());
  CHECK(plain->targets == spelled->targets);
  CHECK(plain->bottom_follows_style == spelled->bottom_follows_style);
  CHECK(plain->sound_sizes == spelled->sound_sizes);
  CHECK(plain->sound_widths == spelled->sound_widths);
  said["sound_sizes"] = 6.5;
  said["sound_widths"] = 7.5;
  said["bottom_follows_style"] = true;
  said["targets"] = {"tread"};
  const Result<LastSpec> otherwise = read_last_spec(said.dump(), "last.json");
  REQUIRE(otherwise.ok());
  CHECK(otherwise->targets == std::vector<std::string>{"tread"});
  CHECK(otherwise->bottom_follows_style);
  CHECK(otherwise->sound_sizes == 6.5);
  CHECK(otherwise->sound_widths == 7.5);
}
