#include "geometry/io/dxf/dxf_header.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "geometry/io/dxf/dxf_append.hpp"

namespace lastwright {
namespace {

// "0 LINE|8 cut" -> tags: group code, a blank, the value; tags parted by '|'.
void add(std::string& out, std::string_view text) {
  while (!text.empty()) {
    const std::string_view tag = text.substr(0, text.find('|'));
    const std::size_t blank = tag.find(' ');
    out.append(tag.substr(0, blank)) += '\n';
    if (blank != std::string_view::npos) out.append(tag.substr(blank + 1));
    out += '\n';
    text.remove_prefix(std::min(text.size(), tag.size() + 1));
  }
}

void add_extent(std::string& out, const Box2& extent) {
  const auto corner = [&](const char* name, Vec2 p) {
    add(out, name);
    append_real(out, "10\n", p.x, kCoordinateDigits);
    append_real(out, "20\n", p.y, kCoordinateDigits);
    out += "30\n0.0\n";
  };
  const Box2 box = extent.empty() ? Box2{{0, 0}, {0, 0}} : extent;
  corner("9 $EXTMIN", box.low);
  corner("9 $EXTMAX", box.high);
}

// Handles below DxfFrame2000::kFirstEntityHandle, hexadecimal; layers take 100 and up. Model space and paper
// space are block records 1F and 1B, their layouts 22 and 1E.
constexpr std::string_view kTables2000 =
    "0 SECTION|2 CLASSES|0 ENDSEC|0 SECTION|2 TABLES|"
    "0 TABLE|2 VPORT|5 8|330 0|100 AcDbSymbolTable|70 1|"
    "0 VPORT|5 2A|330 8|100 AcDbSymbolTableRecord|100 AcDbViewportTableRecord|2 *ACTIVE|70 0|10 0.0|20 "
    "0.0|11 1.0|21 1.0|"
    "12 0.0|22 0.0|13 0.0|23 0.0|14 10.0|24 10.0|15 10.0|25 10.0|16 0.0|26 0.0|36 1.0|17 0.0|27 0.0|37 0.0|"
    "40 400.0|41 1.5|42 50.0|43 0.0|44 0.0|50 0.0|51 0.0|71 0|72 100|73 1|74 3|75 0|76 0|77 0|78 0|0 ENDTAB|"
    "0 TABLE|2 LTYPE|5 5|330 0|100 AcDbSymbolTable|70 3|"
    "0 LTYPE|5 14|330 5|100 AcDbSymbolTableRecord|100 AcDbLinetypeTableRecord|2 ByBlock|70 0|3 |72 65|73 "
    "0|40 0.0|"
    "0 LTYPE|5 15|330 5|100 AcDbSymbolTableRecord|100 AcDbLinetypeTableRecord|2 ByLayer|70 0|3 |72 65|73 "
    "0|40 0.0|"
    "0 LTYPE|5 16|330 5|100 AcDbSymbolTableRecord|100 AcDbLinetypeTableRecord|2 Continuous|70 0|3 Solid "
    "line|72 65|73 0|"
    "40 0.0|0 ENDTAB|";

constexpr std::string_view kMoreTables2000 =
    "0 TABLE|2 STYLE|5 3|330 0|100 AcDbSymbolTable|70 1|"
    "0 STYLE|5 11|330 3|100 AcDbSymbolTableRecord|100 AcDbTextStyleTableRecord|2 Standard|70 0|40 0.0|41 "
    "1.0|50 0.0|71 0|"
    "42 2.5|3 txt|4 |0 ENDTAB|"
    "0 TABLE|2 VIEW|5 6|330 0|100 AcDbSymbolTable|70 0|0 ENDTAB|"
    "0 TABLE|2 UCS|5 7|330 0|100 AcDbSymbolTable|70 0|0 ENDTAB|"
    "0 TABLE|2 APPID|5 9|330 0|100 AcDbSymbolTable|70 1|"
    "0 APPID|5 12|330 9|100 AcDbSymbolTableRecord|100 AcDbRegAppTableRecord|2 ACAD|70 0|0 ENDTAB|"
    "0 TABLE|2 DIMSTYLE|5 A|330 0|100 AcDbSymbolTable|70 1|100 AcDbDimStyleTable|"
    "0 DIMSTYLE|105 27|330 A|100 AcDbSymbolTableRecord|100 AcDbDimStyleTableRecord|2 Standard|70 0|0 ENDTAB|"
    "0 TABLE|2 BLOCK_RECORD|5 1|330 0|100 AcDbSymbolTable|70 2|"
    "0 BLOCK_RECORD|5 1F|330 1|100 AcDbSymbolTableRecord|100 AcDbBlockTableRecord|2 *Model_Space|340 22|"
    "0 BLOCK_RECORD|5 1B|330 1|100 AcDbSymbolTableRecord|100 AcDbBlockTableRecord|2 *Paper_Space|340 1E|"
    "0 ENDTAB|0 ENDSEC|0 SECTION|2 BLOCKS|"
    "0 BLOCK|5 20|330 1F|100 AcDbEntity|8 0|100 AcDbBlockBegin|2 *Model_Space|70 0|10 0.0|20 0.0|30 0.0|3 "
    "*Model_Space|1 |"
    "0 ENDBLK|5 21|330 1F|100 AcDbEntity|8 0|100 AcDbBlockEnd|"
    "0 BLOCK|5 1C|330 1B|100 AcDbEntity|67 1|8 0|100 AcDbBlockBegin|2 *Paper_Space|70 0|10 0.0|20 0.0|30 0.0|"
    "3 *Paper_Space|1 |0 ENDBLK|5 1D|330 1B|100 AcDbEntity|67 1|8 0|100 AcDbBlockEnd|"
    "0 ENDSEC|0 SECTION|2 ENTITIES|";

constexpr std::string_view kObjects2000 =
    "0 ENDSEC|0 SECTION|2 OBJECTS|"
    "0 DICTIONARY|5 C|330 0|100 AcDbDictionary|281 1|3 ACAD_GROUP|350 D|3 ACAD_LAYOUT|350 1A|"
    "0 DICTIONARY|5 D|330 C|100 AcDbDictionary|281 1|"
    "0 DICTIONARY|5 1A|330 C|100 AcDbDictionary|281 1|3 Layout1|350 1E|3 Model|350 22|";

std::string layout(std::string_view handle, std::string_view name, int flags, int order,
                   std::string_view block_record) {
  return fmt::format(
      "0 LAYOUT|5 {}|330 1A|100 AcDbPlotSettings|1 |2 none_device|4 |6 |40 0.0|41 0.0|42 0.0|43 0.0|44 "
      "0.0|45 0.0|46 0.0|"
      "47 0.0|48 0.0|49 0.0|140 0.0|141 0.0|142 1.0|143 1.0|70 {}|72 1|73 0|74 5|7 |75 16|147 1.0|148 "
      "0.0|149 0.0|"
      "100 AcDbLayout|1 {}|70 1|71 {}|10 0.0|20 0.0|11 420.0|21 297.0|12 0.0|22 0.0|32 0.0|14 0.0|24 0.0|34 "
      "0.0|"
      "15 0.0|25 0.0|35 0.0|146 0.0|13 0.0|23 0.0|33 0.0|16 1.0|26 0.0|36 0.0|17 0.0|27 1.0|37 0.0|76 0|330 "
      "{}",
      handle, flags, name, order, block_record);
}

}  // namespace

DxfFrame2000::DxfFrame2000(std::span<const DxfLayer> layers) {
  add(before_extent_,
      "0 SECTION|2 HEADER|9 $ACADVER|1 AC1015|9 $DWGCODEPAGE|3 ANSI_1252|9 $INSBASE|10 0.0|20 0.0|30 0.0");
  add(after_extent_,
      "9 $LUNITS|70 2|9 $LUPREC|70 3|9 $AUNITS|70 0|9 $INSUNITS|70 4|9 $MEASUREMENT|70 1|0 ENDSEC");
  add(after_extent_, kTables2000);
  add(after_extent_, fmt::format("0 TABLE|2 LAYER|5 2|330 0|100 AcDbSymbolTable|70 {}", layers.size() + 1));
  const auto layer = [&](std::string_view handle, std::string_view name, int colour) {
    add(after_extent_,
        fmt::format("0 LAYER|5 {}|330 2|100 AcDbSymbolTableRecord|100 AcDbLayerTableRecord|2 {}|70 0|62 {}|"
                    "6 Continuous",
                    handle, name, colour));
  };
  layer("10", "0", 7);
  std::uint64_t handle = 0x100;
  for (const DxfLayer& l : layers) layer(fmt::format("{:X}", handle++), l.name, l.colour);
  add(after_extent_, "0 ENDTAB");
  add(after_extent_, kMoreTables2000);
  add(tail_, kObjects2000);
  add(tail_, layout("1E", "Layout1", 688, 1, "1B"));
  add(tail_, layout("22", "Model", 1712, 0, "1F"));
  add(tail_, "0 ENDSEC|0 EOF");
}

void DxfFrame2000::begin(std::string& out, const Box2& extent, std::uint64_t entities) const {
  out += before_extent_;
  add_extent(out, extent);
  out += "9\n$HANDSEED\n5\n";
  append_whole(out, kFirstEntityHandle + entities, 16);
  out += '\n';
  out += after_extent_;
}

void DxfFrame2000::end(std::string& out) const {
  out += tail_;
}

DxfFrame12::DxfFrame12(std::span<const DxfLayer> layers) {
  add(before_extent_, "0 SECTION|2 HEADER|9 $ACADVER|1 AC1009|9 $INSBASE|10 0.0|20 0.0|30 0.0");
  add(after_extent_,
      "0 ENDSEC|0 SECTION|2 TABLES|0 TABLE|2 LTYPE|70 1|0 LTYPE|2 CONTINUOUS|70 0|3 Solid line|72 65|73 0|40 "
      "0.0|0 ENDTAB");
  add(after_extent_,
      fmt::format("0 TABLE|2 LAYER|70 {}|0 LAYER|2 0|70 0|62 7|6 CONTINUOUS", layers.size() + 1));
  for (const DxfLayer& l : layers)
    add(after_extent_, fmt::format("0 LAYER|2 {}|70 0|62 {}|6 CONTINUOUS", l.name, l.colour));
  add(after_extent_,
      "0 ENDTAB|0 TABLE|2 STYLE|70 1|0 STYLE|2 STANDARD|70 0|40 0.0|41 1.0|50 0.0|71 0|42 2.5|3 txt|4 |0 "
      "ENDTAB|0 ENDSEC|"
      "0 SECTION|2 BLOCKS");
}

void DxfFrame12::begin(std::string& out, const Box2& extent) const {
  out += before_extent_;
  add_extent(out, extent);
  out += after_extent_;
}

void DxfFrame12::begin_entities(std::string& out) const {
  add(out, "0 ENDSEC|0 SECTION|2 ENTITIES");
}

void DxfFrame12::end(std::string& out) const {
  add(out, "0 ENDSEC|0 EOF");
}

}  // namespace lastwright
