#include "cli/files/safe_name.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("names that nobody can misread stay, others are made safe", "[safe_name]") {
  const std::pair<std::string, std::string> cases[] = {
      {"vamp", "vamp"},
      {"outside quarter 8½ F", "outside quarter 8½ F"},
      {"étrier", "étrier"},
      {"", "unnamed"},
      {"../../etc/passwd", "_._.._etc_passwd"},
      {"a/b\\c", "a_b_c"},
      {"<b>bold</b>", "_b_bold__b_"},
      {"line\nbreak\t", "line_break_"},
      {"CON", "_CON"},
      {"nul.dxf", "_nul.dxf"},
      {"-rf", "_rf"},
      {"dot.", "dot_"},
      {"\xE2\x80\xAEgnp.exe", "_gnp.exe"},  // turns the rest of the line round
      {"\xFF\xC0\xAF", "___"},              // not UTF-8; an overlong slash
      {std::string("nul\0byte", 8), "nul_byte"},
  };
  for (const auto& [given, wanted] : cases) {
    CHECK(safe_name(given) == wanted);
    CHECK(is_safe_name(safe_name(given)));
    CHECK(is_safe_name(given) == (given == wanted));
  }
}

TEST_CASE("long names are cut between characters", "[safe_name]") {
  std::string half;
  for (int i = 0; i < 120; ++i) half += "½";
  CHECK(safe_name(half).size() == kLongestName);
  SafeNames names;
  (void)names.claim(half);
  CHECK(is_safe_name(names.claim(half)));
}

TEST_CASE("different texts never share a name, not even on a disk that ignores case", "[safe_name]") {
  SafeNames names;
  CHECK(names.claim("a/b") == "a_b");
  CHECK(names.claim("a:b") == "a_b-2");
  CHECK(names.claim("A_B") == "A_B-3");
  CHECK(names.claim("a_b-2") == "a_b-2-2");
  const auto difficult =
      rc::gen::element('|', '/', '\\', ':', '*', '?', '"', '<', '>', '.', ' ', '-', '~', 'a', 'A');
  const auto character = rc::gen::oneOf(rc::gen::arbitrary<char>(), difficult);
  const auto words = rc::gen::container<std::vector<std::string>>(rc::gen::container<std::string>(character));
  test::holds_for_all("claimed names are safe and distinct", [&] {
    const std::vector<std::string> texts = *words;
    SafeNames all;
    std::set<std::string> seen;
    for (const std::string& text : texts) {
      const std::string name = all.claim(text);
      RC_ASSERT(is_safe_name(name));
      RC_ASSERT(name.find_first_of("/\\:*?\"<>|") == std::string::npos);
      RC_ASSERT(seen.insert(folded(name)).second);
    }
  });
}
