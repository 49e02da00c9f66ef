#include "cli/safe_text.hpp"

#include <catch2/catch.hpp>

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
