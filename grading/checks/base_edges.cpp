#include "grading/checks/base_edges.hpp"

#include <utility>

namespace lastwright {

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

}  // namespace lastwright
