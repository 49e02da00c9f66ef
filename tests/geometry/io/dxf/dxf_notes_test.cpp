// What a drawing shows otherwise than it is read, and that it is said.
#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/dxf_maker.hpp"

using namespace lastwright;
using test::tags;

namespace {

const std::string kTables =
    test::section("TABLES", tags("0 TABLE|2 LAYER|70 3|0 LAYER|2 cold|70 1|62 7|0 LAYER|2 dark|70 0|62 -7|0 "
                                 "LAYER|2 shown|70 0|62 7|0 ENDTAB"));

Drawing read_noted(const std::string& entities, const std::string& blocks = {},
                   const std::string& tables = {}) {
  std::string text = test::section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) + tables;
  if (!blocks.empty()) text += test::section("BLOCKS", blocks);
  text += test::section("ENTITIES", entities) + "0\nEOF\n";
  DxfReadOptions options;
  options.file_name = "d.dxf";
  const Result<Drawing> drawing = read_dxf(text, options);
  REQUIRE(drawing);
  return *drawing;
}

std::string noted_line(const std::string& layer, const std::string& more = {}) {
  return tags("0 LINE|8 " + layer + "|10 0|20 0|11 10|21 0" + more);
}

}  // namespace

TEST_CASE("layers that are frozen or switched off are read, and that is said", "[dxf][notes]") {
  const Drawing drawing = read_noted(
      noted_line("cold") + noted_line("cold") + noted_line("dark") + noted_line("shown"), {}, kTables);
  CHECK(drawing.paths.size() == 4);
  REQUIRE(drawing.notes.size() == 2);
  CHECK(drawing.notes[0] ==
        "the layer cold is frozen in the drawing; what is on it was read all the same (2 entities)");
  CHECK(drawing.notes[1] ==
        "the layer dark is switched off in the drawing; what is on it was read all the same (1 entity)");
  CHECK(read_noted(noted_line("shown"), {}, kTables).notes.empty());
}

TEST_CASE("widths and thicknesses are not read, and that is said", "[dxf][notes]") {
  const std::string wide = tags("0 LWPOLYLINE|8 a|90 2|70 0|43 1.5|10 0|20 0|10 9|20 0");
  const std::string thin = tags("0 LWPOLYLINE|8 a|90 2|70 0|43 0|10 0|20 0|10 9|20 0");
  const Drawing drawing = read_noted(wide + thin + noted_line("b", "|39 2"));
  REQUIRE(drawing.notes.size() == 2);
  CHECK(drawing.notes[0] ==
        "1 entity on the layer b with a thickness, which is not read: its outline counts");
  CHECK(drawing.notes[1] ==
        "1 entity on the layer a with a width, which is not read: the line in its middle counts");
}

TEST_CASE("a block that is inserted larger or smaller is named with its scale", "[dxf][notes]") {
  const std::string blocks = test::block("VAMP", noted_line("a"));
  const auto insert = [](const std::string& scales) {
    return tags("0 INSERT|8 0|2 VAMP|10 0|20 0" + scales);
  };
  CHECK(read_noted(insert("") + insert("|41 -1|42 1") + insert("|41 1|42 1"), blocks).notes.empty());
  const Drawing drawing =
      read_noted(insert("|41 2|42 2") + insert("|41 -2|42 2") + insert("|41 1.5|42 1"), blocks);
  REQUIRE(drawing.notes.size() == 2);
  CHECK(drawing.notes[0] ==
        "the block VAMP is inserted at 1.5 times its size along its x axis and 1 times along y");
  CHECK(drawing.notes[1] == "the block VAMP is inserted at 2 times its size, 2 times");
}

TEST_CASE("a thousand hidden layers are told in a few lines", "[dxf][notes]") {
  std::string layers;
  std::string lines;
  for (int i = 0; i < 1000; ++i) {
    layers += "0 LAYER|2 l" + std::to_string(i) + "|70 1|";
    lines += noted_line("l" + std::to_string(i));
  }
  const Drawing drawing =
      read_noted(lines, {}, test::section("TABLES", tags("0 TABLE|2 LAYER|" + layers + "0 ENDTAB")));
  REQUIRE(drawing.notes.size() == 31);
  CHECK(drawing.notes.back() == "and 970 more such notes");
}
