// Girths through the pieces: what the pieces put round the last at each girth line.
//
// Along each line of a girth the stretches that lie inside pieces of its forme (net lines: allowances are
// off) are put together, overlaps counted once, and multiplied as the girth says. Together they must be what
// the last measures there. Pieces of one layer (uppers, linings) must close the girth by themselves: a hole
// in the uppers is not mended by the lining. Where a shoe is open in the sample, at a throat or between
// straps, the girth is open too: that is told, and judged by how much more or less is missing
// in other sizes than the sample's own, grown as the girth grows.
#pragma once

#include <string>
#include <vector>

#include "grading/checks/piece_look.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct PieceGirthPart {
  double line = 0.0;     // mm, the line itself, once
  double covered = 0.0;  // mm of it inside pieces, overlaps counted once
  double laid = 0.0;     // mm, the same with overlaps counted as often as they lie there
};

// A part of a girth's line that no piece covers in the sample.
struct OpenStretch {
  std::size_t part = 0;  // of the girth, in the order of the style
  Stretch at{0.0, 0.0};
  double line = 0.0;  // mm, the whole line
  // The shoe is open here: it ends at finished edges, which no seam names, or at the end of the line, and
  // is no narrower than kLeastOpening.
  bool opening = false;
};
// Narrower than this it is no throat and no gap between facings but pieces that do not meet.
inline constexpr double kLeastOpening = 3.0;  // mm

// An end of a girth's line beyond which every piece goes on that reaches it: the girth ends there, the
// leather does not. Or one piece alone goes on, by kLeastOpening more than another.
struct BeyondLine {
  std::size_t part = 0;
  bool at_start = false;
  double by = 0.0;    // mm, of the piece that goes on least
  std::string piece;  // that one
  // The one that goes on least, where it is another. A piece that is trimmed once it is on goes on by intent.
  std::string beside = {};
  bool trimmed = false;
};

struct PieceGirthCell {
  double covered = 0.0;  // mm round the last
  double asked = 0.0;    // the measure, and what the lines are drawn longer by than what they carry
  double lines = 0.0;    // its lines, as often as they count
  // More of the lines is open than the sample's share of each: a throat grows as the line that it opens does.
  double opened = 0.0;
  std::vector<PieceGirthPart> parts;
  [[nodiscard]] double off() const { return covered - asked; }
};

struct PieceGirth {
  std::string measure;
  std::string layer;  // of the pieces on the girth's first forme; empty: they name none
  std::vector<std::vector<std::string>> pieces;  // by part: those that lie on its line in the sample
  std::vector<PieceGirthCell> cells;             // one per cell of the grade; last: the sample
  std::vector<OpenStretch> open;                 // wider than tolerance::kPieceGirth
  std::vector<std::string> lines;                // by part: "shell: ball line"
  bool absent = false;  // no piece of the layer lies on any of its lines: a strap over another girth alone
  std::string bare;  // the first of its lines that are not the bottom's, where no piece lies on their formes
  double extra = 0.0;  // mm, of its lines, as often as they count
  std::vector<BeyondLine> beyond;
  std::vector<std::string>
      tied;  // pieces without which it is not covered and that share outlines between sizes
};

// One for each girth and each layer that lies on its lines. Parts on whose forme no piece names a layer
// belong to all.
Result<std::vector<PieceGirth>> piece_girths(const StyleSpec& style, const StyleGrade& grade,
                                             const MeasureTable& table, const std::vector<GirthLine>& lines,
                                             const StyleLooks& looks);

// What the stretches leave of a line of this length, wherever it is longer than `least`.
std::vector<Stretch> left_open(double line, std::vector<Stretch> stretches, double least);

// The stretches that pieces cover of a line of this length.
PieceGirthPart laid_on_line(double line, const std::vector<Stretch>& stretches);

}  // namespace lastwright
