// What allowances added to a recovered net line make, beside the cut line that is drawn.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geometry/check/hausdorff.hpp"
#include "geometry/result.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

class NetProof {
 public:
  // `drawn`: the piece with the edges of its drawn cut line. Fails where these cannot be unfolded. The proof
  // keeps references to both.
  static Result<NetProof> of(const BoundPiece& drawn, std::span<const Millimetres> allowances);

  // That the allowances added to `net` give the drawn cut line within tolerance::kOffset. `spec`: with the
  // forms of its corners. The Problem names the edge and the worst place, on the half that is drawn.
  [[nodiscard]] Status holds(const PieceSpec& spec, const std::vector<BoundEdge>& net) const;

  // How far the two are apart by each corner at the start of an edge: the greatest distance among the
  // vertices and middles of segments that are nearer to this corner of the net than to another. Nothing where
  // the allowances cannot be added to it.
  [[nodiscard]] std::optional<std::vector<double>> apart(const PieceSpec& spec,
                                                         const std::vector<BoundEdge>& net) const;

  // Whether two net lines are one within tolerance::kOffset.
  [[nodiscard]] bool same(const std::vector<BoundEdge>& one, const std::vector<BoundEdge>& two) const;

  // Further apart a cut line is another one: the budget of an offset and what arcs leave curves by.
  static double most_apart();

 private:
  NetProof(const BoundPiece& piece, std::span<const Millimetres> allowances)
      : piece_(&piece), allowances_(allowances) {}
  [[nodiscard]] Vec2 on_drawn_half(Vec2 place) const;

  const BoundPiece* piece_;
  std::span<const Millimetres> allowances_;
  ClosedArcPath path_;
  MeasuredOutline drawn_;
  std::optional<Mirror> fold_;
};

}  // namespace lastwright
