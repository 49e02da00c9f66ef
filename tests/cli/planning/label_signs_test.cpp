#include "cli/planning/label_signs.hpp"

#include <catch2/catch.hpp>

#include "grading/json/json_text.hpp"
#include "grading/planning/works_json.hpp"

namespace lastwright {

namespace {

const std::vector<std::string>& labelled_parts() {
  static const std::vector<std::string> parts{"upper", "lining and sock", "outer sole"};
  return parts;
}

std::vector<std::string> labelled_kinds() {
  const Result<JsonDocument> schema = parse_json(works_schema_text(), "works.schema.json");
  REQUIRE(schema.ok());
  return schema->root.at("$defs").at("material").at("properties").at("kind").at("enum");
}

}  // namespace

// Directive 94/11/EC, annex I: a sign for each part and each kind of material that a label names.
TEST_CASE("every part and every kind that a label can name has a sign of its own", "[planning]") {
  const Vec2 at{20.0, 30.0};
  constexpr double kSide = 5.0;
  std::vector<std::vector<PageShape>> signs;
  for (const std::string& part : labelled_parts()) signs.push_back(sign_of_part(part, at, kSide));
  for (const std::string& kind : labelled_kinds()) signs.push_back(sign_of_kind(kind, at, kSide));
  REQUIRE(signs.size() == 7);
  const auto same = [](const std::vector<PageShape>& one, const std::vector<PageShape>& other) {
    return std::equal(one.begin(), one.end(), other.begin(), other.end(),
                      [](const PageShape& a, const PageShape& b) {
                        return a.filled == b.filled && a.points == b.points;
                      });
  };
  for (std::size_t i = 0; i < signs.size(); ++i) {
    REQUIRE(!signs[i].empty());
    Box2 box;
    for (const PageShape& shape : signs[i]) {
      for (const Vec2 p : shape.points) box.add(p);
    }
    CHECK(box.low.x >= at.x - 0.1);
    CHECK(box.low.y >= at.y - 0.1);
    CHECK(box.high.x <= at.x + kSide + 0.1);
    CHECK(box.high.y <= at.y + kSide + 0.1);
    CHECK(std::max(box.width(), box.height()) > 0.9 * kSide);
    for (std::size_t j = 0; j < i; ++j) CHECK(!same(signs[i], signs[j]));
  }
  CHECK(sign_of_kind("straw", at, kSide).empty());
  CHECK(sign_of_part("heel", at, kSide).empty());
}

}  // namespace lastwright
