#include "grading/json/json_schema.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>

#include "grading/json/schema_outline.hpp"
#include "grading/sizes/suggest.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const char* const kSchema = R"({
  "type": "object", "additionalProperties": false, "required": ["name", "size"],
  "properties": {
    "name": {"type": "string", "minLength": 1, "maxLength": 5},
    "size": {"$ref": "#/$defs/number"},
    "kind": {"enum": ["lasting", "fold"]},
    "at": {"oneOf": [{"title": "a point's name", "type": "string"},
                     {"title": "[x, y]", "type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}]},
    "tool": {"oneOf": [
      {"type": "object", "required": ["kind", "width"], "properties": {"kind": {"const": "knife"}, "width": {"type": "number"}}},
      {"type": "object", "required": ["kind"], "properties": {"kind": {"const": "punch"}, "tube": {"$ref": "#/$defs/number"}}},
      {"$ref": "#/$defs/press"}]},
    "hide": {"type": "object", "additionalProperties": false, "oneOf": [{"required": ["area_mm2", "edge_mm"]}, {"required": ["drawing"]}],
             "properties": {"area_mm2": {"type": "number"}, "edge_mm": {"type": "number"}, "drawing": {"type": "string"}, "note": {"type": "string"}}},
    "more": {"type": "object", "additionalProperties": {"$ref": "#/$defs/number"}}
  },
  "$defs": {"press": {"type": "object", "properties": {"kind": {"const": "press"}}, "additionalProperties": false}, "number": {"type": "number", "exclusiveMinimum": 0, "maximum": 9}}
})";

std::vector<Problem> faults(const std::string& text) {
  const auto document = parse_json(text, "a.json");
  REQUIRE(document.ok());
  return JsonSchema(kSchema).check(*document);
}

// Keys without a description of their own, nor one of the $def that they name.
void undescribed(const Json& schema, const Json& node, const std::string& at,
                 std::vector<std::string>& keys) {
  if (!node.is_structured()) return;
  const Json properties = node.is_object() ? node.value("properties", Json::object()) : Json::object();
  for (const auto& [key, value] : properties.items()) {
    const std::string named = value.value("$ref", "");
    const bool by_def =
        !named.empty() && schema.at(Json::json_pointer(named.substr(1))).contains("description");
    if (!value.contains("description") && !by_def) keys.push_back(at + "/" + key);
  }
  for (const auto& [key, value] : node.items()) undescribed(schema, value, at + "/" + key, keys);
}

}  // namespace

TEST_CASE("every key of every schema says what it means") {
  namespace fs = std::filesystem;
  std::size_t read = 0;
  for (const char* folder : {"grading", "cli", "reference-tables"}) {
    for (const fs::directory_entry& entry :
         fs::recursive_directory_iterator(test::project_dir() + "/" + folder)) {
      if (!entry.path().filename().string().ends_with("schema.json")) continue;
      std::ifstream file(entry.path());
      const Json schema = test::parsed_json(file);
      std::vector<std::string> keys;
      undescribed(schema, schema, "", keys);
      INFO(entry.path().filename().string());
      CHECK(keys == std::vector<std::string>{});
      ++read;
    }
  }
  CHECK(read >= 7);
}

TEST_CASE("a document that fits has no faults") {
  CHECK(faults(R"({"name": "vamp", "size": 8.5, "kind": "fold", "at": [1, 2], "more": {"a": 1}})").empty());
}

TEST_CASE("each fault names its pointer, what was found and what would do") {
  struct Case {
    const char* text;
    const char* pointer;
    const char* says;
  };
  const Case cases[] = {
      {R"([])", "", "found a list of 0, where an object is expected"},
      {R"({"name": "vamp"})", "", "the key \"size\" is missing"},
      {R"({"nmae": "vamp", "size": 1})", "/nmae", "did you mean \"name\"?"},
      {R"({"name": "vamp", "nmae": "vamp", "size": 1})", "/nmae",
       "did you mean \"name\"? It is given already"},
      {R"({"name": "vamp", "size": "8"})", "/size", "found \"8\", where a number is expected"},
      {R"({"name": "vamp", "size": 0})", "/size", "above 0"},
      {R"({"name": "vamp", "size": 10})", "/size", "found 10, where a number of 9 or less is expected"},
      {R"({"name": "", "size": 1})", "/name", "the text is empty"},
      {R"({"name": "äöüßéà", "size": 1})", "/name", "longer than 5"},
      {R"({"name": "äöüßé", "size": 1, "kind": "lastin"})", "/kind", "did you mean \"lasting\"?"},
      {R"({"name": "a", "size": 1, "at": true})", "/at",
       "found true, where a point's name or [x, y] is expected"},
      {R"({"name": "a", "size": 1, "at": [1, "2"]})", "/at/1", "found \"2\", where a number is expected"},
      {R"({"name": "a", "size": 1, "at": [1]})", "/at", "exactly 2"},
      // Of things of several kinds the one that is named was meant, however ill it fits.
      {R"({"name": "a", "size": 1, "tool": {"kind": "knife", "tube": "a"}})", "/tool",
       "the key \"width\" is missing"},
      {R"({"name": "a", "size": 1, "tool": {"kind": "punch", "tube": "a"}})", "/tool/tube", "found \"a\""},
      {R"({"name": "a", "size": 1, "tool": {"kind": "press", "tube": 1}})", "/tool/tube",
       "is not known here"},
      {R"({"name": "a", "size": 1, "tool": {"kind": "pres", "tube": 1}})", "/tool/kind",
       "where \"knife\", \"punch\" or \"press\" will do (did you mean \"press\"?)"},
      // A wrong key is told once, and no way to give the same is called missing for it.
      {R"({"name": "a", "size": 1, "hide": {"area_mm2": 1, "edge_mm": 2, "nte": "b"}})", "/hide/nte",
       "did you mean \"note\"?"},
      {R"({"name": "a", "size": 1, "hide": {"area_mm2": 1, "egde_mm": 2}})", "/hide/egde_mm",
       "did you mean \"edge_mm\"?"},
      {R"({"name": "a", "size": 1, "hide": {"drawng": "b"}})", "/hide/drawng", "did you mean \"drawing\"?"},
      {R"({"name": "a", "size": 1, "hide": {"area_mm2": 1}})", "/hide", "the key \"edge_mm\" is missing"},
      {R"({"name": "a", "size": 1, "hide": {}})", "/hide",
       "\"area_mm2\" and \"edge_mm\", or \"drawing\" must be given"},
      {R"({"name": "a", "size": 1, "more": {"a/b~": null}})", "/more/a~1b~0", "found null"},
  };
  for (const Case& one : cases) {
    INFO(one.text);
    const auto found = faults(one.text);
    REQUIRE(found.size() == 1);
    CHECK(found[0].place.pointer == one.pointer);
    CHECK(found[0].place.file == "a.json");
    CHECK_THAT(found[0].message, Catch::Contains(one.says));
  }
}

TEST_CASE("a hide whose keys are all misspelt is told of each, and of nothing that is missing") {
  // By hand over every choice of sound, misspelt and left out keys.
  for (int choice = 0; choice < 81; ++choice) {
    std::string members;
    std::size_t wrong = 0;
    bool there[3] = {};
    int rest = choice;
    for (const char* key : {"area_mm2", "edge_mm", "drawing", "note"}) {
      const int how = rest % 3;
      rest /= 3;
      if (how == 0) continue;
      std::string name = key;
      if (name[0] != 'n') there[name[0] == 'a' ? 0 : name[0] == 'e' ? 1 : 2] = true;
      if (how == 2) name.erase(name.size() - 2, 1), ++wrong;
      const bool text = key[0] == 'd' || key[0] == 'n';
      members += fmt::format("{}\"{}\": {}", members.empty() ? "" : ", ", name, text ? "\"t\"" : "1");
    }
    const auto found = faults(R"({"name": "a", "size": 1, "hide": {)" + members + "}}");
    INFO(members);
    std::size_t unknown = 0;
    std::size_t missing = 0;
    for (const Problem& one : found) {
      if (one.message.find("is not known here") != std::string::npos) ++unknown;
      if (one.message.find("is missing") != std::string::npos ||
          one.message.find("must be given") != std::string::npos)
        ++missing;
    }
    CHECK(unknown == wrong);
    CHECK((missing > 0) == !((there[0] && there[1]) || there[2]));
  }
}

TEST_CASE("a problem stands on the line of its value") {
  const auto found = faults("{\n \"name\": \"a\",\n \"size\": 11\n,\n \"more\": {\"a\": 1,\n\n \"b\": -1}}");
  REQUIRE(found.size() == 2);
  CHECK(found[0].place.line == 3);
  CHECK(found[1].place.line == 7);
}

TEST_CASE("a schema with a word that is not checked is a fault of the program") {
  CHECK_THROWS_AS(JsonSchema(R"({"multipleOf": 2})"), InvariantBroken);
  CHECK_THROWS_AS(JsonSchema(R"({"properties": {"a": {"format": "date"}}})"), InvariantBroken);
}

TEST_CASE("hostile counts are cut short") {
  std::string text = R"({"name": "a", "size": 1)";
  for (int i = 0; i < 20000; ++i) text += ",\"k" + std::to_string(i) + "\": 0";
  CHECK(faults(text + "}").size() == 50);
}

TEST_CASE("the nearest name is found, or none when none is near") {
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("vmap", "vamp") == 1);  // a swap of neighbours counts once
  CHECK(nearest_name("Ball-Girth", {"waist girth", "ball girth"}) == "ball girth");
  CHECK(nearest_name("vmap", {"quarter", "vamp"}) == "vamp");
  CHECK_FALSE(nearest_name("x", {"quarter", "vamp"}));
  CHECK_FALSE(nearest_name("Z", {"A", "AB"}));  // nothing in common: any name would be as near
  CHECK_FALSE(nearest_name("C1", {"C2"}));
  CHECK(nearest_name("a", {"A"}) == "A");
  CHECK(suggestion("x", {"quarter", "vamp"}) == " (known: \"quarter\", \"vamp\")");
}

TEST_CASE("an outline gives every key with its type, its limits and what holds unless it is given") {
  const JsonSchema schema(R"({
  "title": "T", "type": "object", "required": ["a"],
  "properties": {
    "a": {"description": "A.", "type": "number", "minimum": 1, "maximum": 2.5},
    "b": {"description": "B.", "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1, "default": 0.5},
    "c": {"description": "C.", "$ref": "#/$defs/label"},
    "d": {"description": "D.", "type": "array", "minItems": 2, "maxItems": 3, "uniqueItems": true, "items": {"type": "integer", "minimum": 0}},
    "e": {"description": "E.", "anyOf": [{"type": "string", "minLength": 1}, {"title": "a place", "type": "object", "properties": {"u": {"description": "U.", "type": "number"}}}]},
    "f": {"description": "F.", "type": "object", "minProperties": 1, "additionalProperties": {"type": ["string", "number"]}},
    "g": {"description": "G.", "type": "string", "pattern": "^x$"},
    "h": {"description": "H.", "type": "array", "items": {"title": "[x, y] in steps of 9", "type": "number", "maximum": 9}}
  },
  "$defs": {"label": {"title": "a label", "type": "string", "minLength": 1, "maxLength": 40}}
})");
  CHECK(schema_outline(schema) == R"(T


a  (required; a number from 1 to 2.5)
    A.
b  (a number above 0, below 1; 0.5 unless given)
    B.
c  (a label, of 1 to 40 characters)
    C.
d  (a list of 2 to 3, none twice: a whole number of 0 or more)
    D.
e  (a text, not empty, or a place)
    E.
  - a place
    u  (a number)
        U.
f  (an object with names of your own, not empty)
    F.
  <name>  (a text or a number)
g  (a text of the form "^x$")
    G.
h  (a list: [x, y] in steps of 9)
    H.
)");
}
