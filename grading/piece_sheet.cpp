#include "grading/piece_sheet.hpp"

namespace lastwright {

std::string title_of(const GradedPiece& piece) {
  return piece.piece + " " + piece.at.size.label + " " + piece.at.width.label;
}

Sheet sheet_of(const GradedPiece& piece, const SheetOptions& options) {
  Sheet sheet;
  sheet.title = title_of(piece);
  sheet.outlines.push_back({piece.cut.path, Operation::kCut});
  for (const ClosedArcPath& cut_out : piece.cut_outs) sheet.outlines.push_back({cut_out, Operation::kCutOut});
  if (options.net_line && piece.net.path.vertices != piece.cut.path.vertices) {
    sheet.outlines.push_back({piece.net.path, Operation::kNetLine});
  }
  for (const GradedLine& line : piece.lines) sheet.lines.push_back({line.path, line.operation});
  for (const GradedHole& hole : piece.holes) sheet.holes.push_back({hole.centre, hole.radius, hole.operation});
  sheet.texts = piece.texts;
  return sheet;
}

}  // namespace lastwright
