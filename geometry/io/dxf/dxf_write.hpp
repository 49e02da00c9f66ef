// Writes a sheet as DXF for a cutter or a die shop.
//
// R2000 (AC1015): closed LWPOLYLINEs with true arcs, millimetres said in the file; R12 (AC1009) on request:
// POLYLINEs, and no unit, because R12 has no place for it. One layer an operation (layer_name), nothing on
// layer 0, holes as CIRCLE, texts as TEXT, everything at Z = 0 without extrusion, no splines. The bytes
// depend on the sheet and the options only.
#pragma once

#include <string>
#include <string_view>

#include "geometry/io/paper/sheet_prepare.hpp"

namespace lastwright {

enum class DxfVersion { kR12, kR2000 };

struct DxfWriteOptions {
  DxfVersion version = DxfVersion::kR2000;
  SheetPrepareOptions prepare;
};

// The sheet is prepared first (prepare_sheet); what cannot be is a Problem.
Result<std::string> write_dxf(const Sheet& sheet, const DxfWriteOptions& options = {});

// Reads `bytes` back and measures: every outline, line, hole and text is there once, in order, on its layer,
// with its length, area and box (1e-6 mm and 1e-9 of the size). A written file counts only when this passes.
Status reread_check(std::string_view bytes, const Sheet& sheet, const DxfWriteOptions& options = {});

// Both: the bytes of a file that has been read back and measured.
Result<std::string> write_checked_dxf(const Sheet& sheet, const DxfWriteOptions& options = {});

}  // namespace lastwright
