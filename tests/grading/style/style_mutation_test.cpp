// Every key misspelt and every value of the wrong type, one at a time: each must be refused, where it stands.
#include <catch2/catch.hpp>

#include <functional>

#include "grading/json/json_text.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;

namespace {

// Calls `visit` for every value below `value` with its pointer.
void walk(const Json& value, const std::string& at,
          const std::function<void(const std::string&, const Json&)>& visit) {
  visit(at, value);
  if (!value.is_structured()) return;
  std::size_t index = 0;
  for (const auto& [key, child] : value.items()) {
    walk(child, value.is_object() ? pointer_to(at, key) : pointer_to(at, index), visit);
    ++index;
  }
}

Json little_style() {
  return test::parsed_json(lastwright::testing::kSmallStyle);
}

// Keys the user makes up: a misspelling there is another name, found out where it is used, if it is.
bool holds_own_names(const std::string& at) {
  for (const char* end :
       {"/measures", "/drawings", "/formes", "/girths", "/layers", "/points", "/carries", "/corners"}) {
    if (at.ends_with(end)) return true;
  }
  return false;
}

bool inside(const std::string& outer, const std::string& inner) {
  return inner.compare(0, outer.size(), outer) == 0;
}

}  // namespace

TEST_CASE("every key misspelt is refused with the right one suggested", "[style_json]") {
  std::size_t tried = 0;
  walk(little_style(), "", [&](const std::string& at, const Json& value) {
    if (!value.is_object() || holds_own_names(at)) return;
    for (const auto& member : value.items()) {
      Json mutant = Json::object();
      const std::string wrong = member.key() + "x";
      for (const auto& [key, child] : value.items()) mutant[key == member.key() ? wrong : key] = child;
      Json style = little_style();
      style[Json::json_pointer(at)] = mutant;
      const StyleRead read = read_style(style.dump(), "s.json");
      INFO(at << "/" << member.key());
      REQUIRE_FALSE(read.ok());
      bool suggested = false;
      for (const Problem& problem : read.problems) {
        suggested = suggested ||
                    (problem.place.pointer == pointer_to(at, wrong) &&
                     problem.message.find("did you mean \"" + member.key() + "\"?") != std::string::npos);
      }
      UNSCOPED_INFO(to_text(read.problems[0]));
      CHECK(suggested);
      ++tried;
    }
  });
  CHECK(tried > 90);
}

TEST_CASE("every value of a wrong type is refused where it stands", "[style_json]") {
  std::size_t tried = 0;
  const std::vector<Json> wrong = {nullptr, Json::array(), Json::object(), Json::array({Json::array()})};
  walk(little_style(), "", [&](const std::string& at, const Json& value) {
    for (const Json& replacement : wrong) {
      const bool both_lists = value.is_array() && replacement == Json::array();
      const bool both_objects = value.is_object() && replacement == Json::object();
      if (both_lists || both_objects) continue;
      Json style = little_style();
      style[Json::json_pointer(at)] = replacement;
      const StyleRead read = read_style(style.dump(), "s.json");
      INFO(at << " = " << replacement.dump());
      REQUIRE_FALSE(read.ok());
      UNSCOPED_INFO(to_text(read.problems[0]));
      CHECK(inside(at, read.problems[0].place.pointer));
      ++tried;
    }
  });
  CHECK(tried > 500);
}

TEST_CASE("every key left out is either optional or named as missing", "[style_json]") {
  walk(little_style(), "", [&](const std::string& at, const Json& value) {
    if (!value.is_object()) return;
    for (const auto& member : value.items()) {
      Json style = little_style();
      style[Json::json_pointer(at)].erase(member.key());
      const StyleRead read = read_style(style.dump(), "s.json");
      INFO(at << "/" << member.key());
      CHECK(read.ok() == read.problems.empty());
      for (const Problem& problem : read.problems) CHECK_FALSE(problem.message.empty());
    }
  });
}
