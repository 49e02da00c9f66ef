#include "grading/json/json_text.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("what is not JSON is refused with its line") {
  struct Case {
    const char* text;
    Trouble trouble;
    long line;
    const char* says;
  };
  const Case cases[] = {
      {"", Trouble::kSyntax, 1, "ends before it is complete"},
      {"{\n\"a\": 1,\n\"b\": }", Trouble::kSyntax, 3, "unexpected"},
      {"{\"a\": 1} x", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": NaN}", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": Infinity}", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": 1,5}", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": [1, 2,]}", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": \"\xff\"}", Trouble::kSyntax, 1, "unexpected"},
      {"{\"a\": 1e999}", Trouble::kBadValue, 1, "too large"},
      {"{\"a\": 1,\n\"b\": {\"c\": 1,\n\"c\": 2}}", Trouble::kBadValue, 3, "\"c\" is given twice"},
      {"%PDF-1.4", Trouble::kSyntax, 0, "a PDF"},
      {"\xff\xfe{", Trouble::kSyntax, 0, "UTF-16"},
  };
  for (const Case& one : cases) {
    INFO(one.text);
    const auto document = parse_json(one.text, "a.json");
    REQUIRE_FALSE(document.ok());
    CHECK(document.problem().trouble == one.trouble);
    CHECK(document.problem().place.line == one.line);
    CHECK_THAT(document.problem().message, Catch::Contains(one.says));
  }
}

TEST_CASE("a key given twice is named by its pointer") {
  const auto document = parse_json(R"({"a": [0, {"b": 1, "b": 2}]})", "a.json");
  REQUIRE_FALSE(document.ok());
  CHECK(document.problem().place.pointer == "/a/1/b");
}

TEST_CASE("budgets hold") {
  const std::string deep = std::string(100000, '[') + std::string(100000, ']');
  CHECK(parse_json(deep, "a").problem().trouble == Trouble::kBudget);
  JsonLimits limits;
  limits.values = 3;
  CHECK(parse_json("[1,2,3]", "a", limits).problem().trouble == Trouble::kBudget);
  CHECK(parse_json("[1,2]", "a", limits).ok());
  limits.bytes = 4;
  CHECK(parse_json("[1,2]", "a", limits).problem().trouble == Trouble::kBudget);
  limits = {};
  limits.key_bytes = 2;
  CHECK(parse_json(R"({"abc": 1})", "a", limits).problem().trouble == Trouble::kBudget);
}

TEST_CASE("objects keep the order of the file and every value knows its line") {
  const auto document = parse_json("{\"z\": 1,\n\"a\": [2,\n{\"q\": 3}\n, 4.5\n],\n\"m\": \"x\"}", "a.json");
  REQUIRE(document.ok());
  CHECK(document->root.dump() == R"({"z":1,"a":[2,{"q":3},4.5],"m":"x"})");
  CHECK(document->place("").line == 1);
  CHECK(document->place("/a").line == 2);
  CHECK(document->place("/a/1/q").line == 3);
  CHECK(document->place("/a/2").line == 4);
  CHECK(document->place("/m").line == 6);
  CHECK(document->place("/a/1/nothing").line == 3);
}

TEST_CASE("the text of any prefix of a document is refused") {
  const std::string text = R"({"a": [1, 2.5e1, "x\u00e9", null, true], "b": {"c": {}}})";
  for (std::size_t n = 0; n < text.size(); ++n) {
    INFO(n);
    CHECK_FALSE(parse_json(text.substr(0, n), "a").ok());
  }
}
