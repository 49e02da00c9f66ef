#include "grading/draft/loose_pieces.hpp"

#include <algorithm>

#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

namespace {

constexpr double kAlongLower = 2.0;  // mm; as far as an edge of the feather lies from the lowest of all

bool part_of_lower(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const DraftPiece& piece) {
  return std::any_of(piece.edges.begin(), piece.edges.end(), [&](const DraftEdge& edge) {
    return std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
      const Vec2 q = forme.frame.in(p);
      const std::vector<double> heights = heights_at(pieces, forme.pieces, forme.frame, q.x);
      return heights.empty() || q.y <= heights.front() + kAlongLower;
    });
  });
}

bool beside(const DraftPiece& one, const DraftPiece& other) {
  return std::any_of(one.edges.begin(), one.edges.end(), [&](const DraftEdge& edge) {
    return std::any_of(other.edges.begin(), other.edges.end(),
                       [&](const DraftEdge& there) { return coincide(edge, there) == Coincide::kAgainst; });
  });
}

bool over_others(const std::vector<DraftPiece>& pieces, const DraftForme& forme, std::size_t i) {
  constexpr int kRows = 12;
  const DraftPiece& piece = pieces[i];
  int inside = 0;
  int covered = 0;
  for (int at = 0; at < kRows * kRows; ++at) {
    const Vec2 p{piece.box.low.x + (at % kRows + 0.5) / kRows * piece.box.width(),
                 piece.box.low.y + (at / kRows + 0.5) / kRows * piece.box.height()};
    if (!inside_polygon(piece.polygon, p)) continue;
    ++inside;
    covered += static_cast<int>(std::any_of(forme.pieces.begin(), forme.pieces.end(), [&](std::size_t k) {
      return k != i && pieces[k].box.overlaps({p, p}) && inside_polygon(pieces[k].polygon, p);
    }));
  }
  return 2 * covered > inside;
}

}  // namespace

std::set<std::size_t> loose_pieces(const std::vector<DraftPiece>& pieces, const DraftForme& forme) {
  std::set<std::size_t> loose;
  if (forme.kind != DraftKind::kUpper) return loose;
  for (const std::size_t i : forme.pieces) {
    const DraftPiece& piece = pieces[i];
    if (piece.words.stiff) continue;
    const bool tongue = has_word(plain_words(piece.name), "tongue");
    const bool sewn = !tongue && std::any_of(forme.pieces.begin(), forme.pieces.end(), [&](std::size_t k) {
      return k != i && beside(piece, pieces[k]);
    });
    if (sewn || part_of_lower(pieces, forme, piece)) continue;
    if (tongue || over_others(pieces, forme, i)) loose.insert(i);
  }
  if (loose.size() == forme.pieces.size()) loose.clear();
  return loose;
}

}  // namespace lastwright
