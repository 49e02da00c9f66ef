#include "cli/planning/planning_page.hpp"

#include <catch2/catch.hpp>
#include <regex>
#include <set>
#include <string>

using namespace lastwright;

TEST_CASE("every colour of a planning page has one for dark screens", "[planning_page]") {
  const std::string page = planning_page("title", "lead", "");
  const std::string look = page.substr(0, page.find("@page{size"));
  const auto all_of = [](const std::string& text, const char* pattern) {
    const std::regex each(pattern);
    std::set<std::string> found;
    for (auto it = std::sregex_iterator(text.begin(), text.end(), each); it != std::sregex_iterator(); ++it)
      found.insert((*it)[1]);
    return found;
  };
  const std::size_t light = look.find(":root{");
  const std::size_t dark = look.find(":root{", light + 1);
  const std::size_t rest = look.find('}', dark);
  REQUIRE(rest != std::string::npos);
  CHECK(look.find("@media screen and (prefers-color-scheme:dark)") < dark);
  const auto named = all_of(look.substr(rest), "var\\((--[a-z]+)\\)");
  CHECK(named.size() >= 8);
  CHECK(named == all_of(look.substr(light, dark - light), "(--[a-z]+):"));
  CHECK(named == all_of(look.substr(dark, rest - dark), "(--[a-z]+):"));
  CHECK(all_of(look.substr(rest), "(#[0-9a-f]{3,6})").empty());
  CHECK(page.find("@media (max-width:40rem)") != std::string::npos);
}
