#include "grading/style/seam_lookup.hpp"

#include <algorithm>

namespace lastwright {

bool is_edge(const SeamSide& side, const std::string& piece, const std::string& edge) {
  return side.piece == piece && side.edge == edge;
}

bool seam_names_edge(const StyleSpec& style, const std::string& piece, const std::string& edge) {
  return std::any_of(style.seams.begin(), style.seams.end(), [&](const SeamSpec& seam) {
    return is_edge(seam.one, piece, edge) || is_edge(seam.other, piece, edge);
  });
}

bool seam_joins(const SeamSpec& seam, const std::string& piece, const std::string& other) {
  return (seam.one.piece == piece && seam.other.piece == other) ||
         (seam.one.piece == other && seam.other.piece == piece);
}

}  // namespace lastwright
