#include "geometry/io/dxf/dxf_text.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("strings become UTF-8 from the code page they were written in", "[dxf]") {
  const DxfEncoding western;
  const DxfEncoding modern{true, "ANSI_1252"};
  const DxfEncoding cyrillic{false, "ANSI_1251"};
  CHECK(decode_dxf_text("Gr\xf6\xdf"
                        "e 8\xbd",
                        western, OddBytes::kRefuse)
            .value() == "Größe 8½");
  CHECK(decode_dxf_text("\x80 5", western, OddBytes::kRefuse).value() == "€ 5");
  CHECK(decode_dxf_text("Größe", western, OddBytes::kRefuse).value() == "Größe");
  CHECK(decode_dxf_text("8\\U+00BD F", western, OddBytes::kRefuse).value() == "8½ F");
  CHECK(decode_dxf_text("\\U+D83D\\U+DE00", modern, OddBytes::kRefuse).value() == "\xf0\x9f\x98\x80");
  CHECK(decode_dxf_text("\\U+D83D", modern, OddBytes::kRefuse).value() == "\xef\xbf\xbd");
  CHECK(decode_dxf_text("a\tb\x01", western, OddBytes::kRefuse).value() == "a b ");
  CHECK(decode_dxf_text("CUT", cyrillic, OddBytes::kRefuse).value() == "CUT");
  const Result<std::string> unknown = decode_dxf_text("\xcf\xee\xf2", cyrillic, OddBytes::kRefuse);
  REQUIRE_FALSE(unknown.ok());
  CHECK(unknown.problem().message.find("ANSI_1251") != std::string::npos);
  CHECK(decode_dxf_text("\xcf", cyrillic, OddBytes::kReplace).value() == "\xef\xbf\xbd");
  CHECK_FALSE(decode_dxf_text("\xc3", modern, OddBytes::kRefuse).ok());
}

TEST_CASE("control and formatting codes are taken off, the words stay", "[dxf]") {
  CHECK(without_control_codes("%%c5 %%p0.1 20%%d %%uvamp%%u 50%%%") == "⌀5 ±0.1 20° vamp 50%");
  CHECK(without_control_codes("%%065%%") == "A%%");
  CHECK(without_formatting("{\\fArial|b0;VAMP}\\P\\H2.5;size \\S1^2; \\\\ \\{x\\}") ==
        "VAMP\nsize 1/2 \\ {x}");
  CHECK(without_formatting("\\A1;left\\~right ^J end\\") == "left right \n end\\");
  CHECK(without_formatting("\\Hunfinished") == "");
}
