// Drawings in the sewn-products convention (ASTM D6673, layers by number), "D6673-style": the layer numbers
// are published, the standard's full text was not available, so nothing more is claimed.
//
// R12 DXF, millimetres, one block for each piece in each
// size and width, each inserted once at the origin. Layers:
//   1 boundary, 2 turn points, 3 curve points, 4 notches, 6 mirror line, 7 grain line, 8 internal lines, 11
//   cut-outs, 13 drill holes, 14 sew lines, 15 text; 84, 85, 86, 87 the dense curves of 1, 8, 11, 14.
// Lines 1, 8, 11, 14 run straight from point to point; the dense curve beside each is what the points stand
// for. "# n" beside a point, a notch or a drill hole is the number of its grade rule.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

struct SewnPoint {
  Vec2 at;
  bool turn = true;  // a corner; else a point of a curve
  int rule = 0;      // grade rule number, 0: none
  bool operator==(const SewnPoint&) const = default;
};

struct SewnLine {
  std::vector<SewnPoint> points;
  bool closed = false;
  std::vector<Vec2> dense;  // the curve flattened; a closed one does not repeat its first point; may be empty
  bool operator==(const SewnLine&) const = default;
};

// A notch or a drill hole.
struct SewnMark {
  Vec2 at;
  int rule = 0;
  bool operator==(const SewnMark&) const = default;
};

struct SewnText {
  Vec2 at;
  double height = 5.0;
  std::string text;  // UTF-8
  bool operator==(const SewnText&) const = default;
};

// One piece in one size and width, ready to be written: nothing is computed here.
struct SewnPiece {
  std::string piece;
  std::string size;
  std::string width;
  SewnLine boundary;
  std::vector<SewnLine> internal_lines;
  std::vector<SewnLine> cut_outs;
  std::vector<SewnLine> sew_lines;
  std::vector<SewnMark> notches;
  std::vector<SewnMark> drill_holes;
  std::optional<std::pair<Vec2, Vec2>> mirror_line;
  std::optional<std::pair<Vec2, Vec2>> grain_line;
  std::vector<SewnText> texts;
  bool operator==(const SewnPiece&) const = default;
};

// What is said of all pieces, as texts outside the blocks: their unit, always millimetres, is one of them.
struct SewnStyle {
  std::string name;
  std::string product;      // the program that wrote it
  std::string author;       // this and the next: none where empty
  std::string date;         // as the user gave it
  std::string sample_size;  // "8 F": the size that moves start from
  std::string rule_table;   // file name of the grade rules
  bool operator==(const SewnStyle&) const = default;
};

struct SewnDrawing {
  SewnStyle style;
  std::vector<SewnPiece> pieces;
  bool operator==(const SewnDrawing&) const = default;
};

// Coordinates are rounded to 1e-6 mm. Refuses, naming piece, size and width: no boundary or one of fewer than
// three points, points that follow each other on the same place, what is not finite, a piece that is there
// twice in one size and width.
Result<std::string> write_sewn_dxf(const SewnDrawing& drawing);

// Reads back what write_sewn_dxf wrote. Points and their rules are told apart by their order in the block, so
// two lines may share a place.
Result<SewnDrawing> read_sewn_dxf(std::string_view bytes);

// The companion: how each numbered rule moves its point, size by size.
struct GradeRule {
  std::string piece;
  std::string point;
  int rule = 0;
  std::vector<Vec2> moves;  // from the base, one for each of GradeRuleTable::sizes, millimetres
  bool operator==(const GradeRule&) const = default;
};
struct GradeRuleTable {
  std::string base;                // a name out of sizes
  std::vector<std::string> sizes;  // size and width, e.g. "8 F"
  std::vector<GradeRule> rules;
  bool operator==(const GradeRuleTable&) const = default;
};

// Plain text, described in its own first lines: tab-parted columns, one row a rule. Moves are rounded to 1e-6
// mm. Refuses names with tabs or line ends, numbers of moves that do not fit, a base that is no size, a
// piece's rule given twice.
Result<std::string> write_grade_rules(const GradeRuleTable& table);
Result<GradeRuleTable> read_grade_rules(std::string_view text);

}  // namespace lastwright
