#include "geometry/io/safe_text.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "geometry/io/utf8.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("what is printed cannot steer a terminal", "[safe_text]") {
  CHECK(safe_text("vamp 8½ – für") == "vamp 8½ – für");
  CHECK(safe_text("a\x1b[2Jb\nc\x7f") == "a\\x1b[2Jb c\\x7f");
  CHECK(safe_text("a\xe2\x80\xae"
                  "b") == "a\\u202eb");
  CHECK(safe_text("\xff\xc0\x80\xed\xa0\x80") == "\\xff\\xc0\\x80\\xed\\xa0\\x80");
  CHECK(safe_text("\xc2\x9b"
                  "1m") == "\\x9b1m");
  CHECK(safe_text("\xe2\x82") == "\\xe2\\x82");
}

TEST_CASE("whatever bytes go in, what comes out is UTF-8 on one line, and can be seen", "[safe_text]") {
  test::holds_for_all("the characters of a safe text are printable, and it stays as it is", [] {
    const auto bytes = *rc::gen::container<std::string>(rc::gen::oneOf(
        rc::gen::arbitrary<char>(), rc::gen::elementOf(std::string("\xe2\x80\xae\xa8\x8b\xef\xbb\xbf"))));
    const std::string safe = safe_text(bytes);
    for (std::size_t at = 0; at < safe.size();) {
      const Utf8Character one = next_character(safe, at);
      RC_ASSERT(one.valid);
      RC_ASSERT(is_printable(one.code));
      at += one.bytes;
    }
    RC_ASSERT(safe_text(safe) == safe);
    RC_ASSERT(safe.empty() == bytes.empty());
  });
}
