// A rule of each kind that the schema has, its points under the names p0, p1 ...: whoever has to do with the
// points of rules knows all of them.
#include "grading/style/rule_points.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <set>

#include "grading/live/named_changes.hpp"
#include "grading/live/style_text.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_run.hpp"
#include "grading/style/style_schema.hpp"
#include "grading/style/style_unused.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"
#include "tests/support/small_style.hpp"

namespace lastwright {

namespace {

// Keys under which a rule says its own name: all other names in it are points.
const std::set<std::string> kOwnNames{"measure_line", "check_line"};

struct RuleSample {
  std::string title;
  Json rule;
  std::vector<std::string> points;    // in it
  std::vector<std::string> lists;     // keys under which several stand
  std::vector<std::string> required;  // keys
};

RuleSample sample_of(const Json& kind) {
  RuleSample sample{kind.at("title").get<std::string>(), Json::object(), {}, {}, kind.at("required")};
  const auto point = [&] {
    sample.points.push_back("p" + std::to_string(sample.points.size()));
    return sample.points.back();
  };
  for (const auto& [key, property] : kind.at("properties").items()) {
    const std::string of = property.value("$ref", "");
    if (of == "#/$defs/name") {
      sample.rule[key] = kOwnNames.contains(key) ? std::string("its own name") : point();
    } else if (property.value("type", "") == "array" &&
               property.at("items").value("$ref", "") == "#/$defs/name") {
      sample.lists.push_back(key);
      for (int i = property.at("minItems"); i > 0; --i) sample.rule[key].push_back(point());
    } else if (of == "#/$defs/carries") {
      sample.rule[key] = {{"tread", "1/2"}};
    } else if (of == "#/$defs/shift") {
      sample.rule[key] = {1, 2};
    } else {
      INFO(key);
      REQUIRE(of == "#/$defs/quantity");
    }
  }
  return sample;
}

std::vector<RuleSample> every_kind() {
  std::vector<RuleSample> all;
  const Json schema = test::parsed_json(style_schema_text());
  for (const Json& kind : schema.at("$defs").at("rule").at("oneOf")) all.push_back(sample_of(kind));
  CHECK(all.size() == std::variant_size_v<Rule>);
  return all;
}

std::string style_with(const RuleSample& sample) {
  Json root = test::parsed_json(testing::kSmallStyle);
  Json& forme = root["formes"]["shell"];
  for (std::size_t i = 0; i < sample.points.size(); ++i)
    forme["points"][sample.points[i]] = {20.0 + 7.0 * static_cast<double>(i), 30 + i % 2};
  forme["rules"].push_back(sample.rule);
  return root.dump();
}

Json::json_pointer rule_in(const Json& root, const std::string& at) {
  const std::size_t last = root["formes"]["shell"]["rules"].size() - 1;
  return Json::json_pointer("/formes/shell/rules/" + std::to_string(last) + at);
}

StyleSpec read_sample(const std::string& text) {
  const StyleRead read = read_style(text, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  return *read.style;
}

}  // namespace

TEST_CASE("each point of a rule is known where it stands", "[rule_points]") {
  std::set<std::size_t> read_as;
  for (const RuleSample& sample : every_kind()) {
    INFO(sample.title);
    const std::string text = style_with(sample);
    const Json root = test::parsed_json(text);
    CHECK(read_as.insert(read_sample(text).formes[0].rules.back().index()).second);
    std::vector<std::string> named;
    for (const RulePoint& one : rule_points(read_sample(text).formes[0].rules.back())) {
      CHECK(root[rule_in(root, one.at)] == one.name);
      named.push_back(one.name);
    }
    std::sort(named.begin(), named.end());
    CHECK(named == sample.points);
  }
}

TEST_CASE("a point that a rule names and the forme has not is told where it stands", "[rule_points]") {
  for (const RuleSample& sample : every_kind()) {
    INFO(sample.title);
    const std::string text = style_with(sample);
    for (const RulePoint& one : rule_points(read_sample(text).formes[0].rules.back())) {
      Json root = test::parsed_json(text);
      const Json::json_pointer at = rule_in(root, one.at);
      root[at] = "nowhere";
      const StyleRead read = read_style(root.dump(), "s.json");
      CHECK(std::any_of(read.problems.begin(), read.problems.end(),
                        [&](const Problem& problem) { return problem.place.pointer == at.to_string(); }));
    }
  }
}

TEST_CASE("a point that a rule names is not unused, and takes a new name there", "[rule_points]") {
  const Scale scale = *ReferenceTables().find_scale("english");
  const Ladder ladder = *ReferenceTables().find_ladder("english-letters");
  for (const RuleSample& sample : every_kind()) {
    INFO(sample.title);
    const std::string text = style_with(sample);
    const StyleSpec style = read_sample(text);
    const Result<SizeRun> run = size_run(style, scale, ladder);
    REQUIRE(run.ok());
    for (const std::string& note : unused_statements(style, *run, scale))
      CHECK(note.rfind("/formes/shell/points", 0) != 0);
    for (const RulePoint& one : rule_points(style.formes[0].rules.back())) {
      const Json asked = {{"what", "rename point"}, {"forme", "shell"}, {"point", one.name}, {"name", "new"}};
      const Result<std::vector<JsonEdit>> edits = named_change(test::parsed_json(text), asked);
      REQUIRE(edits.ok());
      StyleText changed(text);
      REQUIRE(changed.change("a change", *edits).ok());
      const Json root = test::parsed_json(changed.text());
      CHECK(root[rule_in(root, one.at)] == "new");
      read_sample(changed.text());
    }
  }
}

TEST_CASE("the page that is worked on shows each kind of rule, and lets its lists be changed",
          "[rule_points]") {
  std::ifstream file(test::project_dir() + "/cli/live/page/held.js");
  const std::string page{std::istreambuf_iterator<char>(file), {}};
  const auto part = [&](const std::string& name) {
    const std::size_t from = page.find("export function " + name + "(");
    REQUIRE(from != std::string::npos);
    return page.substr(from, page.find("\n}\n", from) - from);
  };
  for (const RuleSample& sample : every_kind()) {
    INFO(sample.title);
    CHECK_THAT(part("ruleText"), Catch::Contains("if (rule." + sample.required.front() + ")"));
    for (const std::string& key : sample.lists) {
      INFO(key);
      CHECK_THAT(part("rulePart"), Catch::Contains('"' + key + '"'));
    }
  }
}

}  // namespace lastwright
