#include "grading/pieces/piece_bind.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "grading/json/json_text.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/net_recovery.hpp"
#include "grading/pieces/outline_split.hpp"
#include "grading/pieces/piece_contour.hpp"
#include "grading/pieces/piece_features.hpp"

namespace lastwright {

namespace {

Result<BoundPiece> bind_to(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                           std::size_t contour) {
  const auto in_drawing = [&](const Problem& problem) { return problem.in_file(drawing.drawing.file); };
  const Result<ClosedOutline> outline =
      make_closed_outline(drawing.contours[contour].contour.raw, drawing.spec.chain_gap);
  if (!outline) return in_drawing(outline.problem());
  const Result<SplitOutline> split = split_outline(*outline, spec, forme);
  if (!split) return in_drawing(split.problem());
  BoundPiece piece;
  piece.spec = spec;
  piece.edges = split->edges;
  piece.notes = split->notes;
  if (const Status status = bind_features(drawing, contour, piece); !status)
    return in_drawing(status.problem());
  return piece;
}

}  // namespace

Result<BoundPiece> bind_piece(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing) {
  const Result<std::size_t> contour = find_contour(spec.source, drawing);
  if (!contour) return contour.problem().in("drawing", drawing.spec.file).in("piece", spec.name);
  Result<BoundPiece> piece = bind_to(spec, forme, drawing, *contour);
  if (!piece) return piece.problem().in("piece", spec.name);
  return piece;
}

BoundStyle bind_pieces(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
                       const SizeRun& run) {
  BoundStyle out;
  std::map<std::string, std::set<std::size_t>> used;
  for (std::size_t i = 0; i < style.pieces.size(); ++i) {
    const PieceSpec& spec = style.pieces[i];
    const auto forme = std::find_if(style.formes.begin(), style.formes.end(),
                                    [&](const FormeSpec& one) { return one.name == spec.forme; });
    const auto drawing = drawings.find(spec.source.drawing);
    invariant(forme != style.formes.end() && drawing != drawings.end(),
              "a piece has its forme and its drawing");
    if (const auto contour = find_contour(spec.source, drawing->second))
      used[drawing->first].insert(*contour);
    Result<BoundPiece> piece = bind_piece(spec, *forme, drawing->second);
    if (piece) {
      if (Status net = recover_net(*piece, base_allowances(spec, run)); !net)
        piece = net.problem().in("piece", spec.name);
    }
    if (piece) {
      out.pieces.push_back(std::move(*piece));
      continue;
    }
    Problem problem = piece.problem();
    // What is wrong in the drawing stands in the drawing's file, the rest in the style.
    if (problem.place.file.empty()) problem.place.pointer = pointer_to("/pieces", i) + problem.place.pointer;
    out.problems.push_back(std::move(problem));
  }
  for (const auto& [key, drawing] : drawings) {
    for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
      const PatternContour& contour = drawing.contours[i];
      if (contour.role != LayerRole::kBoundary || used[key].count(i) > 0) continue;
      out.notes.push_back(fmt::format("{}: a boundary that no piece uses: {}{}", drawing.drawing.file,
                                      described(contour), contour.contour.closed ? "" : ", open"));
    }
  }
  return out;
}

std::optional<std::size_t> fold_edge(const BoundPiece& piece) {
  for (std::size_t e = 0; piece.spec.fold && e < piece.edges.size(); ++e) {
    if (piece.edges[e].spec.name == *piece.spec.fold) return e;
  }
  return std::nullopt;
}

}  // namespace lastwright
