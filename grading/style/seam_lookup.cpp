#include "grading/style/seam_lookup.hpp"

#include <algorithm>

namespace lastwright {

bool seam_names_edge(const StyleSpec& style, const std::string& piece, const std::string& edge) {
  const auto is = [&](const SeamSide& side) { return side.piece == piece && side.edge == edge; };
  return std::any_of(style.seams.begin(), style.seams.end(),
                     [&](const SeamSpec& seam) { return is(seam.one) || is(seam.other); });
}

bool seam_joins(const SeamSpec& seam, const std::string& piece, const std::string& other) {
  return (seam.one.piece == piece && seam.other.piece == other) ||
         (seam.one.piece == other && seam.other.piece == piece);
}

}  // namespace lastwright
