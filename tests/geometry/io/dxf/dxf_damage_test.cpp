#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_file_kind.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/dxf_maker.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Matchers::Contains;

namespace {

std::string refusal(const std::string& bytes, DxfReadOptions options = {}) {
  options.file_name = "a.dxf";
  const Result<Drawing> drawing = read_dxf(bytes, options);
  return drawing ? "read without complaint" : to_text(drawing.problem());
}

std::string good_file() {
  return drawing(tags("0 LINE|8 0|10 0|20 0|11 10.25|21 5|0 POLYLINE|66 1|70 1|0 VERTEX|10 0|20 0|0 "
                      "VERTEX|10 5|20 0|0 VERTEX|10 5|20 5|0 SEQEND|"
                      "0 LWPOLYLINE|90 2|70 0|10 0|20 0|10 7.5|20 1|0 INSERT|2 P|10 3|20 3|0 TEXT|10 1|20 "
                      "1|40 2|1 vamp 8"),
                 block("P", tags("0 CIRCLE|10 0|20 0|40 1.5")));
}

// Cut anywhere, a file must never be read as if it were whole.
void check_every_cut(const std::string& bytes) {
  DxfReadOptions options;
  options.unit_may_default = true;
  const Result<Drawing> whole = read_dxf(bytes, options);
  REQUIRE(whole.ok());
  for (std::size_t size = 0; size < bytes.size(); ++size) {
    const Result<Drawing> cut = read_dxf(std::string_view(bytes).substr(0, size), options);
    if (cut.ok() && cut->entities_in != whole->entities_in) {
      FAIL("cut to " << size << " bytes: read with " << cut->entities_in << " entities");
    }
    if (cut.ok() && size + 2 < bytes.size())
      FAIL("cut to " << size << " bytes: read");  // only the last line end may go
  }
}

}  // namespace

TEST_CASE("a file cut off at any byte is refused", "[dxf][damage]") {
  check_every_cut(good_file());
  std::string crlf;
  for (const char c : good_file()) crlf += c == '\n' ? "\r\n" : std::string(1, c);
  check_every_cut(crlf);
  const std::string corpus = project_dir() + "/tests/fuzz/corpus/dxf/";
  for (const char* name : {"binary-r12.dxf", "binary-r2000.dxf", "polylines.dxf", "inserts.dxf"}) {
    INFO(name);
    const std::string bytes = read_bytes(corpus + name);
    REQUIRE(bytes.size() > 300);
    check_every_cut(bytes);
  }
}

TEST_CASE("with repair a cut file gives what is whole, and says so", "[dxf][damage]") {
  const std::string bytes = good_file();
  DxfReadOptions options;
  options.repair = true;
  options.unit_may_default = true;
  for (std::size_t size = 0; size < bytes.size(); ++size) {
    const Result<Drawing> cut = read_dxf(std::string_view(bytes).substr(0, size), options);
    if (!cut) continue;
    CHECK(cut->entities_in == cut->used() + cut->left_out.size());
    if (size + 2 < bytes.size()) CHECK_FALSE(cut->repairs.empty());
  }
  const std::size_t in_polyline = bytes.find("VERTEX") + 10;
  const Result<Drawing> cut = read_dxf(std::string_view(bytes).substr(0, in_polyline), options);
  REQUIRE(cut.ok());
  CHECK(cut->paths.size() == 1);
  CHECK(cut->left_out.at(0).reason == "cut off by the end of the file");
}

TEST_CASE("numbers that are none are refused with their line", "[dxf][damage]") {
  CHECK_THAT(refusal(drawing(tags("0 LINE|10 1,5|20 0|11 1|21 1"))),
             Contains("a.dxf:22") && Contains("decimal comma"));
  for (const std::string bad : {"nan", "inf", "1e400", "x", "", "1e13"}) {
    CAPTURE(bad);
    CHECK_THAT(refusal(drawing(tags("0 LINE|10 0|20 " + bad + "|11 1|21 1"))), Contains("a.dxf:24"));
  }
  CHECK_THAT(refusal(drawing(tags("0 CIRCLE|10 0|20 0|40 -2"))), Contains("negative"));
  CHECK_THAT(refusal(drawing(tags("0 LINE|10 0|20 0|11 1"))), Contains("the end point is missing"));
  CHECK_THAT(refusal(drawing(tags("0 LWPOLYLINE|90 3|70 0|10 0|20 0|10 1|20 1"))),
             Contains("promises 3 vertices"));
  CHECK_THAT(refusal(drawing(tags("0 LWPOLYLINE|90 2|70 0|10 0|10 1|20 1"))), Contains("no Y"));
}

TEST_CASE("sections and entities out of place are refused", "[dxf][damage]") {
  CHECK_THAT(refusal("0\nSECTION\n2\nENTITIES\n0\nEOF\n"), Contains("out of place"));
  CHECK_THAT(refusal("0\nSECTION\n2\nHEADER\n0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"),
             Contains("has no end"));
  CHECK_THAT(refusal("0\nSECTION\n2\nHEADER\n0\nENDSEC\n0\nEOF\n"), Contains("no ENTITIES section"));
  CHECK_THAT(refusal(good_file() + good_file()), Contains("more after the end"));
  CHECK_THAT(refusal(drawing(tags("0 VERTEX|10 0|20 0"))), Contains("out of place"));
  CHECK_THAT(refusal(drawing(tags("0 POLYLINE|70 0|0 VERTEX|10 0|20 0|0 LINE|10 0|20 0|11 1|21 1"))),
             Contains("SEQEND"));
  CHECK_THAT(refusal(drawing("", block("a", "") + block("A", ""))), Contains("second block"));
  CHECK_THAT(refusal("hello\nworld\n"), Contains("not a DXF drawing"));
  CHECK_THAT(refusal("AC1027" + std::string(20, '\0')), Contains("DWG"));
  CHECK(read_dxf(good_file() + std::string("\x1a\0\0", 3), {}).ok());
}

TEST_CASE("budgets hold before memory is spent", "[dxf][damage]") {
  DxfReadOptions small;
  small.limits.bytes = 100;
  CHECK_THAT(refusal(good_file(), small), Contains("limit 100") && Contains("over budget"));
  small = {};
  small.limits.entities = 2;
  CHECK_THAT(refusal(good_file(), small), Contains("more than 2 entities"));
  small = {};
  small.limits.vertices = 4;
  CHECK_THAT(refusal(good_file(), small), Contains("more than 4 vertices"));
  CHECK_THAT(refusal(drawing(tags("0 LINE|8 " + std::string(300, 'x') + "|10 0|20 0|11 1|21 1"))),
             Contains("longer than 255"));
}
