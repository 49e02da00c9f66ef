#include "grading/measures/reference_tables.hpp"

#include <catch2/catch.hpp>
#include <tuple>

#include "grading/json/json_schema.hpp"
#include "grading/measures/embedded.hpp"

using namespace lastwright;

namespace {

const char* const kOwnScale = R"({
  "lastwright_table": 1, "kind": "scale", "key": "works", "title": "Our own",
  "source": {"text": "our last shop", "provenance": "common practice"},
  "sizes": "last", "zero_length": "4 in", "step": "1/3 in",
  "runs": [{"from": 1, "to": 15, "position": 14, "smallest": "1/2"}]
})";

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("every built-in table fits the schema, its file name and itself", "[reference_tables]") {
  const JsonSchema schema(embedded_file("reference-tables/schema.json").value());
  const ReferenceTables tables;
  std::size_t count = 0;
  for (const EmbeddedFile& file : embedded_files()) {
    INFO(file.name);
    if (file.name == "reference-tables/schema.json") continue;
    if (file.name.starts_with("reference-tables/kinds/")) continue;  // what a draft expects: shoe_kind_test
    const auto document = parse_json(file.text, std::string(file.name));
    REQUIRE(document);
    for (const Problem& fault : schema.check(*document)) FAIL_CHECK(to_text(fault));
    const std::string kind = document->root.at("kind");
    const std::string key = document->root.at("key");
    CHECK(file.name == "reference-tables/" + kind + "-" + key + ".json");
    ++count;
  }
  const auto entries = tables.list();
  CHECK(entries.size() == count);
  CHECK(count >= 30);
  std::size_t sound = 0;
  const auto holds = [&](const auto& found) {
    if (!found) FAIL_CHECK(to_text(found.problem()));
    sound += found.ok() ? 1 : 0;
  };
  for (const TableEntry& entry : entries) {
    INFO(entry.kind << " " << entry.key);
    CHECK_FALSE(entry.source.text.empty());
    if (entry.kind == "scale") holds(tables.find_scale(entry.key));
    if (entry.kind == "ladder") holds(tables.find_ladder(entry.key));
    if (entry.kind == "printed") holds(tables.find_printed(entry.key));
    if (entry.kind == "measures") holds(tables.find_ruled(entry.key));
    if (entry.kind == "marking") holds(tables.find_marking(entry.key));
    if (entry.kind == "increments") holds(tables.find_increments(entry.key));
    if (entry.kind == "limits") holds(tables.find_limits(entry.key));
  }
  CHECK(sound == count);  // of a kind that stands here
}

TEST_CASE("a user's own table joins the built-in ones", "[reference_tables]") {
  ReferenceTables tables;
  REQUIRE(tables.add(kOwnScale, "works.json"));
  const auto scale = tables.find_scale("works");
  REQUIRE(scale);
  CHECK(scale->length(*scale->size("8")) == Fraction(11 * 127, 5));
  CHECK(tables.list("scale").back().file == "works.json");
  CHECK(tables.add(kOwnScale, "again.json").problem().place.pointer == "/key");
  const std::string taken = with(kOwnScale, "\"works\"", "\"english\"");
  CHECK(tables.add(taken, "taken.json").problem().place.pointer == "/key");
  CHECK(tables.find_scale("englsh").problem().message.find("\"english\"") != std::string::npos);
}

TEST_CASE("a bad table is refused with the pointer, the value and what would do", "[reference_tables]") {
  struct Case {
    const char* from;
    const char* to;
    const char* pointer;
    const char* says;
  };
  const Case cases[] = {
      {"\"1/3 in\"", "\"1/3 inch\"", "/step", "1/3 inch"},
      {"\"1/3 in\"", "0", "/step", "above 0"},
      {"\"1/3 in\"", "\"-1/3 in\"", "/step", "above 0"},
      {"\"1/3 in\"", "\"0,33 in\"", "/step", "point"},
      {"\"4 in\"", "\"-60 in\"", "/zero_length", "above 0"},
      {"\"to\": 15", "\"to\": \"15 1/4\"", "/runs/0/to", "do not meet"},
      {"\"to\": 15", "\"to\": 1500000", "/runs/0", "at most"},
      {"\"smallest\": \"1/2\"", "\"smallest\": 2", "/runs/0/smallest", "at most 1"},
      {"\"smallest\": \"1/2\"", "\"smalest\": 1", "/runs/0/smalest", "smallest"},
      {"\"from\": 1", "\"from\": [1]", "/runs/0/from", ""},
      {"\"scale\"", "\"scales\"", "/kind", "scale"},
      {"\"sizes\": \"last\"", "\"sizes\": \"boot\"", "/sizes", "last"},
      {"\"sizes\": \"last\", ", "", "", "sizes"},
      {"\"common practice\"", "\"certain\"", "/source/provenance", "common practice"},
      {"\"lastwright_table\": 1", "\"lastwright_table\": 2", "/lastwright_table", "1"},
      {"}]", "}, {\"from\": 10, \"to\": 20, \"position\": 40}]", "/runs/1", "two sizes"},
      {"}]", "}, {\"prefix\": \"x\", \"from\": 1, \"to\": 2, \"position\": 20}]", "/runs/1", "above the end"},
  };
  for (const Case& one : cases) {
    INFO(one.from << " -> " << one.to);
    ReferenceTables tables;
    const Status status = tables.add(with(kOwnScale, one.from, one.to), "works.json");
    REQUIRE_FALSE(status);
    INFO(to_text(status.problem()));
    CHECK(status.problem().place.file == "works.json");
    CHECK(status.problem().place.pointer == one.pointer);
    CHECK(status.problem().message.find(one.says) != std::string::npos);
    CHECK_FALSE(tables.find_scale("works"));
  }
  ReferenceTables tables;
  CHECK(tables.add("{", "x.json").problem().trouble == Trouble::kSyntax);
  CHECK_FALSE(tables.add("[]", "x.json"));
  CHECK_FALSE(tables.add("{}", "x.json"));
  CHECK_FALSE(tables.add("", "x.json"));
}

TEST_CASE("a printed table is refused where it does not fit its scale and ladder", "[reference_tables]") {
  const std::string good = R"({
    "lastwright_table": 1, "kind": "printed", "key": "works-girths", "title": "Our wall chart",
    "source": {"text": "our wall chart", "provenance": "common practice"},
    "scale": "english", "ladder": "english-letters", "of": "last", "unit": "in",
    "columns": [{"measure": "ball girth", "width": "F"}, {"measure": "ball girth", "width": "G"}],
    "rows": [{"size": "8", "values": ["9 11/16", null]}, {"size": "9", "values": ["9.94", "10 3/16"]}],
    "not_evidence": [{"size": "9", "column": 0, "why": "smudged"}]
  })";
  ReferenceTables tables;
  REQUIRE(tables.add(good, "w.json"));
  const auto table = tables.find_printed("works-girths");
  REQUIRE(table);
  REQUIRE(table->cells.size() == 3);
  CHECK(table->cells[0].millimetres == Fraction(127 * 155, 80));
  CHECK(table->cells[0].half_digit == Fraction(127, 160));   // 1/32 in
  CHECK(table->cells[1].half_digit == Fraction(127, 1000));  // 0.005 in
  CHECK(table->cells[1].not_evidence == "smudged");
  CHECK(table->cells[2].width->label == "G");
  struct Case {
    const char* from;
    const char* to;
    const char* pointer;
  };
  const Case cases[] = {{"\"size\": \"8\"", "\"size\": \"8.3\"", "/rows/0/size"},
                        {"\"9 11/16\"", "\"9 11/0\"", "/rows/0/values/0"},
                        {", null", "", "/rows/0/values"},
                        {"\"width\": \"G\"", "\"width\": \"Z\"", "/columns/1/width"},
                        {"\"column\": 0", "\"column\": 2", "/not_evidence/0"},
                        {"\"english-letters\"", "\"english-leters\"", "/ladder"},
                        {"\"scale\": \"english\"", "\"scale\": \"englisch\"", "/scale"},
                        {"\"ladder\": \"english-letters\", ", "", "/columns/0"}};
  for (const Case& one : cases) {
    INFO(one.from << " -> " << one.to);
    ReferenceTables other;
    const Status status = other.add(with(good, one.from, one.to), "w.json");
    REQUIRE_FALSE(status);
    CHECK(status.problem().place.pointer == one.pointer);
  }
}

TEST_CASE("a ladder may have unequal steps", "[reference_tables][ladder]") {
  const std::string good = R"({
    "lastwright_table": 1, "kind": "ladder", "key": "works", "title": "Our widths",
    "source": {"text": "our last shop", "provenance": "common practice"},
    "labels": ["N", "M", "M+", "W"], "steps": [1, "1/2", "1 1/2"]
  })";
  ReferenceTables tables;
  REQUIRE(tables.add(good, "w.json"));
  const auto ladder = tables.find_ladder("works");
  REQUIRE(ladder);
  CHECK(ladder->width("N")->position == 0);
  CHECK(ladder->width("M+")->position == Fraction(3, 2));
  CHECK((*ladder->width("W") - *ladder->width("M")).count == 2);
  for (const auto& [from, to, pointer] :
       {std::tuple{"\"1/2\", ", "", "/steps"}, std::tuple{"\"1/2\"", "0", "/steps/1"},
        std::tuple{"\"1/2\"", "\"-1/2\"", "/steps/1"}, std::tuple{"\"1/2\"", "11", "/steps/1"}}) {
    ReferenceTables other;
    const Status status = other.add(with(good, from, to), "w.json");
    REQUIRE_FALSE(status);
    CHECK(status.problem().place.pointer == pointer);
  }
}

TEST_CASE("a marking table is reckoned by its rules and compared with what is printed",
          "[reference_tables]") {
  const std::string good = R"({
    "lastwright_table": 1, "kind": "marking", "key": "works", "title": "Our labels",
    "source": {"text": "our box labels", "provenance": "common practice"},
    "scale": "mondopoint-5",
    "columns": [{"title": "points", "rule": {"zero_length": "-15 mm", "step": "2/3 cm", "round": "1/2"}},
                {"title": "name"}],
    "rows": [{"size": "240", "values": ["38.5", "small"]}, {"size": "250", "values": [null, "large"]}],
    "reckoned": {"from": "240", "to": "260"}
  })";
  ReferenceTables tables;
  REQUIRE(tables.add(good, "w.json"));
  const auto table = tables.find_marking("works");
  REQUIRE(table);
  REQUIRE(table->rows.size() == 5);
  // By hand: 255 mm is 38 1/4 points, half way, which goes up; 260 mm 39; 265 mm 39 3/4; 270 mm 40 1/2.
  const char* labels[] = {"38.5", "39", "40", "40.5", "41.5"};
  for (std::size_t r = 0; r < 5; ++r) {
    CHECK(table->rows[r].labels[0] == labels[r]);
    CHECK(table->rows[r].reckoned[0] == (r != 0));
  }
  CHECK(table->rows[2].labels[1] == "large");
  CHECK(table->rows[3].labels[1].empty());
  // Down, the same but where a length lies half way: 38 1/4 is 38 and 39 3/4 is 39 1/2.
  std::string downward = with(good, "\"round\": \"1/2\"", "\"round\": \"1/2\", \"half_way\": \"down\"");
  downward = with(downward, "\"38.5\"", "\"38\"");
  ReferenceTables down;
  REQUIRE(down.add(downward, "w.json"));
  const auto smaller = down.find_marking("works");
  REQUIRE(smaller);
  const char* down_labels[] = {"38", "39", "39.5", "40.5", "41"};
  for (std::size_t r = 0; r < 5; ++r) CHECK(smaller->rows[r].labels[0] == down_labels[r]);
  for (const auto& [from, to, pointer] : {std::tuple{"\"38.5\"", "\"38\"", "/rows/0/values/0"},
                                          std::tuple{"\"2/3 cm\"", "0", "/columns/0/rule/step"},
                                          std::tuple{"\"1/2\"", "0", "/columns/0/rule/round"},
                                          std::tuple{"\"to\": \"260\"", "\"to\": \"262\"", "/reckoned"}}) {
    INFO(from << " -> " << to);
    ReferenceTables other;
    const Status status = other.add(with(good, from, to), "w.json");
    REQUIRE_FALSE(status);
    CHECK(status.problem().place.pointer == pointer);
  }
}

TEST_CASE("what is carried on beyond its source is known", "[reference_tables]") {
  const ReferenceTables tables;
  const auto english = tables.find_scale("english");
  REQUIRE(english);
  for (const char* label : {"child 1", "child 13.5", "1", "13"})
    CHECK_FALSE(english->carried_on(*english->size(label)));
  for (const char* label : {"child 0", "child 0.5", "13.5", "20"})
    CHECK(english->carried_on(*english->size(label)));
  CHECK(english->length(*english->size("20")) == Fraction(15 * 127, 5));  // 15 in: 11 in and 12 thirds
  CHECK(tables.find_scale("paris-point")->size("60"));
  CHECK(tables.find_scale("chinese")->size("345"));
  const auto ruled = tables.find_ruled("golding-male-3");
  REQUIRE(ruled);
  const std::size_t joint = *ruled->table.index("ball girth");
  const std::size_t seat = *ruled->table.index("seat");
  CHECK_FALSE(ruled->carried_on(joint, english->size("6")->position));
  CHECK(ruled->carried_on(joint, english->size("7")->position));
  CHECK(ruled->carried_on(seat, english->size("6")->position));
  const std::string scale_text =
      with(kOwnScale, "\"smallest\"", "\"covered\": {\"from\": 1, \"to\": 16}, \"smallest\"");
  ReferenceTables other;
  const Status status = other.add(scale_text, "w.json");
  REQUIRE_FALSE(status);
  CHECK(status.problem().place.pointer == "/runs/0/covered/to");
}
