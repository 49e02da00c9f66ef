#include "grading/checks/girths/base_edges.hpp"

#include <algorithm>
#include <utility>

#include "grading/checks/seams/edges_together.hpp"

namespace lastwright {

const PieceSpec& spec_of(const StyleGrade& grade, const BaseEdge& edge) {
  return grade.pieces[edge.piece].bound.spec;
}

std::string edge_of_piece(const StyleGrade& grade, const BaseEdge& edge) {
  return edge.spec->name + " of " + spec_of(grade, edge).name;
}

std::vector<BaseEdge> base_edges(const StyleGrade& grade, double least,
                                 const std::function<bool(const PieceSpec&, const EdgeSpec&)>& asked) {
  std::vector<BaseEdge> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    const std::vector<Millimetres> allowances = grade.allowances(p, grade.base_cell());
    for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
      const EdgeSpec& spec = piece.bound.edges[e].spec;
      if (!asked(piece.bound.spec, spec)) continue;
      BaseEdge edge{p,  e,  &spec, allowances[e].value(), shaped_path(piece.shape.edges[e], piece.shape.base),
                    {}, 0.0};
      if (edge.path.size() == 0) continue;
      edge.length = length(edge.path);
      edge.box = bounds(edge.path).grown(kOnFeather);
      if (edge.length >= least) all.push_back(std::move(edge));
    }
  }
  return all;
}

double length_together(const BaseEdge& one, const BaseEdge& other) {
  const bool first = one.length < other.length;
  return length_on((first ? one : other).path, (first ? other : one).path, kOnFeather);
}

bool lie_on_one_side(const BaseEdge& one, const BaseEdge& other) {
  constexpr double kOverShorter = 0.8;  // less is an end in common
  if (!one.box.overlaps(other.box)) return false;
  const Vec2 here = one.path.vertices.back().at - one.path.vertices.front().at;
  const Vec2 there = other.path.vertices.back().at - other.path.vertices.front().at;
  return dot(here, there) > 0.0 &&
         length_together(one, other) >= kOverShorter * std::min(one.length, other.length);
}

}  // namespace lastwright
