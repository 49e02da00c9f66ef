#include "geometry/io/dxf/dxf_tags.hpp"

#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_file_kind.hpp"

using namespace lastwright;
using namespace std::string_literals;

namespace {

std::vector<DxfTag> all_tags(std::string_view bytes, std::optional<Problem>* problem = nullptr) {
  Result<DxfTags> tags = DxfTags::open(bytes);
  REQUIRE(tags.ok());
  std::vector<DxfTag> out;
  DxfTag tag;
  while (tags->next(tag)) out.push_back(tag);
  if (problem) *problem = tags->problem();
  return out;
}

}  // namespace

TEST_CASE("text tags are read under every kind of line end, also mixed", "[dxf]") {
  for (const std::string& text : {"  0\nLINE\n 10\n1.5\n"s, "  0\r\nLINE\r\n 10\r\n1.5\r\n"s,
                                  "0\rLINE\r10\r1.5"s, "\t0 \nLINE\r\n10\r 1.5 \n\n  "s,
                                  "\xef\xbb\xbf"
                                  "0\nLINE\n999\nnote\n10\n1.5"s}) {
    const std::vector<DxfTag> tags = all_tags(text);
    REQUIRE(tags.size() == 2);
    CHECK(tags[0].is(0, "LINE"));
    CHECK(tags[1].code == 10);
    CHECK(real_of(tags[1]).value() == 1.5);
  }
}

TEST_CASE("a line that is no group code is named with its line", "[dxf]") {
  std::optional<Problem> problem;
  all_tags("0\r\nLINE\r\nabc\r\n1\r\n", &problem);
  REQUIRE(problem);
  CHECK(problem->place.line == 3);
  CHECK(problem->message == "a group code should be here, not \"abc\"");
  all_tags("70000\n1\n", &problem);
  REQUIRE(problem);
  CHECK(problem->message.find("not a DXF drawing") == 0);
}

TEST_CASE("numbers are read the same in every locale, and only whole ones", "[dxf]") {
  const auto tag = [](std::string_view text) {
    DxfTag t;
    t.code = 10;
    t.text = text;
    return t;
  };
  CHECK(real_of(tag(" -1.25e+2 ")).value() == -125.0);
  CHECK(real_of(tag("+.5")).value() == 0.5);
  CHECK(real_of(tag("7")).value() == 7.0);
  CHECK(whole_of(tag("7.0")).value() == 7);
  for (const std::string_view bad :
       {"1,5", "nan", "inf", "-inf", "1.#QNAN", "1e999", "", "0x10", "1.5 2", "+-1", "1.5mm"}) {
    CAPTURE(bad);
    CHECK_FALSE(real_of(tag(bad)).ok());
  }
  CHECK(real_of(tag("1,5")).problem().message.find("decimal comma") != std::string::npos);
  CHECK_FALSE(whole_of(tag("7.5")).ok());
}

TEST_CASE("binary tags have values sized by their code, with one-byte and two-byte codes", "[dxf]") {
  const std::string start(kBinaryDxfSentinel);
  // 0 SECTION, 70 -2, 10 1.0, and the R12 escape to code 1040
  const std::string one =
      "\0SECTION\0"s + "\x46\xfe\xff"s + "\x0a\0\0\0\0\0\0\xf0\x3f"s + "\xff\x10\x04\0\0\0\0\0\0\0\x40"s;
  const std::string narrow_bytes = start + one;  // tags look into them
  const std::vector<DxfTag> narrow = all_tags(narrow_bytes);
  REQUIRE(narrow.size() == 4);
  CHECK(narrow[1].whole == -2);
  CHECK(narrow[2].real == 1.0);
  CHECK(narrow[3].code == 1040);
  CHECK(narrow[3].real == 2.0);
  const std::string two = "\0\0SECTION\0"s + "\x46\0\xfe\xff"s + "\x5a\0\x01\0\x01\0"s + "\x36\x01\x02xy"s;
  const std::string wide_bytes = start + two;
  const std::vector<DxfTag> wide = all_tags(wide_bytes);
  REQUIRE(wide.size() == 4);
  CHECK(wide[1].whole == -2);
  CHECK(wide[2].whole == 65537);
  CHECK(wide[3].text == "xy");
}

TEST_CASE("what is not DXF is named for what it is", "[dxf]") {
  const std::vector<std::pair<std::string, std::string>> cases{{"AC1015\0\0\0\0\0\0"s, "DWG"},
                                                               {"%PDF-1.7\n", "PDF"},
                                                               {"\x1f\x8b\x08\0"s, "gzip"},
                                                               {"PK\x03\x04xx", "ZIP"},
                                                               {"\xff\xfe"
                                                                "0\0\n\0"s,
                                                                "UTF-16"},
                                                               {"0\0\n\0S\0"s, "UTF-16"},
                                                               {"\xfe\xff\0"
                                                                "0\0\n"s,
                                                                "UTF-16"},
                                                               {"ISO-10303-21;\n", "STEP"},
                                                               {" \n<!DOCTYPE html>", "HTML"},
                                                               {"<HTML>", "HTML"},
                                                               {"<?xml version=\"1.0\"?>", "XML"},
                                                               {"", "empty"},
                                                               {"  \n\n", "blanks"},
                                                               {"{\"a\":1}", "JSON"},
                                                               {"\x89PNG\r\n", "PNG"},
                                                               {std::string(100, '\0'), "zero bytes"}};
  for (const auto& [bytes, kind] : cases) {
    const Result<DxfTags> tags = DxfTags::open(bytes);
    CAPTURE(kind);
    REQUIRE_FALSE(tags.ok());
    CHECK(tags.problem().message.find(kind) != std::string::npos);
  }
  CHECK_FALSE(foreign_file_kind("0\nSECTION\n").has_value());
  CHECK_FALSE(foreign_file_kind("  999\nnote\n").has_value());
}
