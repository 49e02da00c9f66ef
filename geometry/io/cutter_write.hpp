// Drawings for cutting tables and plotters: HP-GL in chords, G-code in true arcs.
//
// Work is done operation by operation in the order of `cutting_order`: marks, pricks and holes, cut-outs,
// nicks, and the outer cut lines last, so that a piece is still held while its inside is cut. Texts are not
// drawn: neither language has letters that every machine knows.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/die_drawing.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

// Inside first, the outer cut last; without kText.
const std::vector<Operation>& cutting_order();

// 1 for the outer cut, 2 for cut-outs, 3 for holes ...: the same in every file.
int pen_of(Operation operation);

struct CutterText {
  std::string bytes;
  double width = 0.0;  // mm that the tool travels over, from the origin
  double height = 0.0;
  std::size_t strokes = 0;  // times the tool goes down
  std::size_t texts = 0;    // left out
};

struct HpglOptions {
  Millimetres chord_error{0.05};
  std::vector<Operation> operations;  // that are done; empty: all
};
// Units of 0.025 mm, which round each axis by at most 0.0125 mm; IN, SP, PU and PD alone, in absolute pairs,
// at most 64 to an instruction. The drawing is moved so that everything lies right of and above the origin.
// Old machines stop at 32767 units, 819 mm: see `width` and `height`.
Result<CutterText> write_hpgl(const Sheet& sheet, const HpglOptions& options);
inline constexpr double kHpglUnit = 0.025;        // mm
inline constexpr double kHpglOldLimit = 819.175;  // mm, 32767 units

struct GcodeOptions {
  std::string knife_down;  // the words of the user's machine: no standard says them
  std::string knife_up;
  std::string end = "M2";
  double feed = 0.0;  // mm a minute; 0: none is written
  std::vector<Operation> operations;
};
// G21, G90, G0, G1, G2, G3 and the user's words, each on a line; four decimals. Arcs that leave
// their chords by less than 0.001 mm are written straight. Refuses words that are empty
// or would not stay on their line.
Result<CutterText> write_gcode(const Sheet& sheet, const GcodeOptions& options);

}  // namespace lastwright
