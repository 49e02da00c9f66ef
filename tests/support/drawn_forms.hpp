// Pieces drawn in strokes, in other kinds of lines, and drafts of them with options of their own.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/drafted.hpp"

namespace lastwright::test {

// What is left of a cubic beyond first_part, from there.
inline Stroke last_part(Vec2 from, const Stroke& whole, double t) {
  const Stroke back = first_part(whole.to, {from, {whole.inner[1], whole.inner[0]}}, 1.0 - t);
  return {whole.to, {back.inner[1], back.inner[0]}};
}
// The same stroke from its other end, which is where it began.
inline Stroke turned_back(Vec2 from, const Stroke& stroke) {
  if (stroke.inner.empty()) return line_to(from);
  return {from, {stroke.inner[1], stroke.inner[0]}};
}
// Each cubic in straight lines of about this length, mm.
inline DrawnPiece drawn_chordwise(const DrawnPiece& piece, double chord) {
  DrawnPiece out{piece.name, piece.from, {}, piece.text};
  Vec2 from = piece.from;
  for (const Stroke& stroke : piece.strokes) {
    double whole = 0.0;
    for (int i = 0; i < 40 && !stroke.inner.empty(); ++i)
      whole += distance(first_part(from, stroke, i / 40.0).to, first_part(from, stroke, (i + 1) / 40.0).to);
    const int count = stroke.inner.empty() ? 1 : std::max(2, static_cast<int>(whole / chord));
    for (int i = 1; i < count; ++i)
      out.strokes.push_back(line_to(first_part(from, stroke, static_cast<double>(i) / count).to));
    out.strokes.push_back(line_to(stroke.to));
    from = stroke.to;
  }
  return out;
}

// Of a size of Paris points, three widths.
inline Draft draft_of_kind(const std::string& text, const std::vector<std::string>& kinds,
                           const std::string& size, const DraftOptions& read = {}) {
  Result<Drawing> drawing = read_dxf(text, {});
  REQUIRE(drawing);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(drawing), "sheet", "sheet.dxf"});
  DraftOptions options = read;
  options.first.name = "sheet";
  options.basis.scale = "paris-point";
  options.basis.size = size;
  options.basis.widths = {"2", "3", "4"};
  options.kind = *shoe_kind(kinds);
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

}  // namespace lastwright::test
