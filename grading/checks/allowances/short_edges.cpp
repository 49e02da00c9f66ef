#include "grading/checks/allowances/short_edges.hpp"

#include <fmt/format.h>

#include "grading/pieces/first/first_corners.hpp"

namespace lastwright {

std::vector<StyleFinding> check_short_edges(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  for (const PreparedPiece& piece : grade.pieces) {
    for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
      const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
      if (path.size() == 0) continue;
      const double long_as = length(path);
      if (long_as >= kShortestEdge) continue;
      const EdgeSpec& spec = piece.bound.edges[e].spec;
      const Vec2 at = path.vertices.front().at;
      all.push_back(doubtful_finding(
          "short edge", piece.bound.spec.name + ": " + spec.name, long_as, "mm",
          fmt::format(
              "is all its length, from {} to {} at ({:.3f}, {:.3f}): are both corners meant? Take one "
              "out, and the edge with it",
              spec.from, spec.to, at.x, at.y)));
    }
  }
  return all;
}

}  // namespace lastwright
