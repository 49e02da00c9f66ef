// The edges of a graded piece as open paths: what lines, rows and nicks follow.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

// Of a piece that is cut double the edges of the drawn half: what lies on the left of the fold.
class PieceEdges {
 public:
  // `net`: the finished edge of the whole piece. `fold_edge` is not part of it.
  PieceEdges(const EdgedOutline& net, std::size_t edges, const std::optional<Mirror>& fold);

  // Empty for the edge on the fold.
  [[nodiscard]] const OpenArcPath& edge(std::size_t i) const { return edges_[i]; }
  [[nodiscard]] const std::optional<Mirror>& fold() const { return fold_; }
  // Consecutive edges as one path; empty when one of them is empty.
  [[nodiscard]] OpenArcPath chain(std::span<const std::uint16_t> edges) const;
  [[nodiscard]] bool on_fold(Vec2 p) const;

 private:
  std::optional<Mirror> fold_;
  std::vector<OpenArcPath> edges_;
};

// A path along edges: run on through the fold where exactly one of its ends lies there.
struct FoldedPath {
  OpenArcPath path;
  bool through = false;         // it covers both halves
  bool free_end_first = false;  // through the fold: the drawn half comes first
};
FoldedPath through_fold(OpenArcPath path, const PieceEdges& edges);

}  // namespace lastwright
