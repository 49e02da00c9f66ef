// Every outline of a graded run as compact text, for a page that draws them itself.
//
// A graded piece becomes a row of whole numbers, lengths in 0.01 mm, y up, in the frame of its forme:
//
//   length of the cut line, area inside it in mm², then shape after shape until the row ends:
//   16 * kind + operation, and
//     kind 0, 1 (closed, open path): count, then count x (dx, dy from the vertex before, rise of the segment)
//     kind 2 (hole): x, y, radius                kind 3 (text): x, y, height, angle in 0.1 deg, number of the
//     text
//
// The rise of a segment is the height of its arc over its chord, positive for a left turn; the end points and
// the rise are each within 0.005 mm. Neighbouring sizes differ little, so that a cell of the run is written
// as the difference to the base, number by number, where both rows are equally long.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "geometry/io/die_drawing.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// Texts of a sheet are numbered in `texts`, new ones are added at its end.
std::vector<std::int64_t> numbers_of(const Sheet& sheet, std::vector<std::string>& texts);

// Five bits a character, the sixth says that more follow, least first; the sign is the lowest bit of the
// number. The characters are A-Z a-z 0-9 - _, in this order.
std::string packed(std::span<const std::int64_t> numbers);

struct PieceOutlines {
  std::vector<std::string> texts;
  std::string base;                // packed
  std::vector<std::string> cells;  // "+" and the packed differences, or "=" and the packed row
  std::uint32_t operations = 0;    // bit n: operation n occurs
  std::vector<Problem> not_built;  // why cells have no cut line; they are shown as drawn on the forme
};

// One piece of the run, laid as on pictures, or in the frame of its forme.
PieceOutlines piece_outlines(const StyleGrade& grade, std::size_t piece, bool laid);
// All pieces of the run, the base apart from it, laid.
std::vector<PieceOutlines> run_outlines(const StyleGrade& grade, unsigned threads = 0);

}  // namespace lastwright
