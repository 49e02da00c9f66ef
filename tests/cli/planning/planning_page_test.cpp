#include "cli/planning/planning_page.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <string>

using namespace lastwright;

TEST_CASE("every colour of a planning page has one for dark screens", "[planning_page]") {
  const std::string page = planning_page("title", "lead", "");
  const std::string look = page.substr(0, page.find("@page{size"));
  // What begins so, goes on in these letters and is followed by that.
  const auto all_of = [](const std::string& text, const std::string& begin, const char* letters,
                         const std::string& behind) {
    std::set<std::string> found;
    for (std::size_t at = 0; (at = text.find(begin, at)) != std::string::npos;) {
      const std::size_t end = std::min(text.find_first_not_of(letters, at + begin.size()), text.size());
      if (end > at + begin.size() && text.compare(end, behind.size(), behind) == 0)
        found.insert(text.substr(at, end - at));
      at = end;
    }
    return found;
  };
  const char* lower = "abcdefghijklmnopqrstuvwxyz";
  const std::size_t light = look.find(":root{");
  const std::size_t dark = look.find(":root{", light + 1);
  const std::size_t rest = look.find('}', dark);
  REQUIRE(rest != std::string::npos);
  CHECK(look.find("@media screen and (prefers-color-scheme:dark)") < dark);
  const auto named = all_of(look.substr(rest), "--", lower, ")");
  CHECK(named.size() >= 8);
  CHECK(named == all_of(look.substr(light, dark - light), "--", lower, ":"));
  CHECK(named == all_of(look.substr(dark, rest - dark), "--", lower, ":"));
  for (const std::string& colour : all_of(look.substr(rest), "#", "0123456789abcdef", ""))
    CHECK(colour.size() < 4);
  CHECK(page.find("@media (max-width:40rem)") != std::string::npos);
}
