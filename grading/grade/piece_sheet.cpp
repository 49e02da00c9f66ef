#include "grading/grade/piece_sheet.hpp"

#include <algorithm>

#include "geometry/invariant.hpp"
#include "grading/features/nick_merge.hpp"

namespace lastwright {

std::string title_of(const GradedPiece& piece) {
  return piece.piece + " " + label_of(piece.at);
}

SheetHole sheet_hole(const GradedHole& hole) {
  constexpr double kPrickShown = 0.5;  // mm of radius
  return {hole.centre, hole.radius > 0.0 ? hole.radius : kPrickShown, hole.operation};
}

Sheet sheet_of(const GradedPiece& piece, const SheetOptions& options) {
  Sheet sheet;
  sheet.title = title_of(piece);
  const NickedOutline nicked =
      options.merge_nicks ? merge_nicks(piece) : NickedOutline{piece.cut.path, {}, {}};
  sheet.outlines.push_back({nicked.path, Operation::kCut});
  for (const ClosedArcPath& cut_out : piece.cut_outs) sheet.outlines.push_back({cut_out, Operation::kCutOut});
  if (options.net_line && piece.net.path.vertices != piece.cut.path.vertices) {
    sheet.outlines.push_back({piece.net.path, Operation::kNetLine});
  }
  for (std::size_t i = 0; i < piece.lines.size(); ++i) {
    if (std::find(nicked.merged.begin(), nicked.merged.end(), i) != nicked.merged.end()) continue;
    sheet.lines.push_back({piece.lines[i].path, piece.lines[i].operation});
  }
  for (const GradedHole& hole : piece.holes) sheet.holes.push_back(sheet_hole(hole));
  sheet.texts = piece.texts;
  invariant(sheet.lines.size() + nicked.merged.size() == piece.lines.size(),
            "every line of a piece is drawn or part of its cut line");
  return sheet;
}

}  // namespace lastwright
