#include "grading/draft/image_edges.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/draft/edge_roles.hpp"

namespace lastwright {

void treat_image(DraftPiece& piece, std::vector<Proposed>& proposed) {
  constexpr double kImage = 0.5;  // mm: an axis is found within 0.2
  const auto axis = mirror_axis(piece);
  if (!axis) return;
  const Vec2 across = left_of(unit(axis->second - axis->first));
  const auto mirrored = [&](Vec2 p) { return p - 2.0 * dot(p - axis->first, across) * across; };
  for (std::size_t e = 0; e < piece.edges.size(); ++e) {
    const DraftEdge edge = piece.edges[e];
    if (edge.allowance == 0.0) continue;
    for (std::size_t i = 0; i < piece.edges.size(); ++i) {
      DraftEdge& image = piece.edges[i];
      double off = std::abs(image.length - edge.length);
      for (std::size_t k = 0; k <= kDraftSamples; ++k)
        off = std::max(off, distance(image.samples[kDraftSamples - k], mirrored(edge.samples[k])));
      if (i == e || off > kImage || image.allowance != 0.0) continue;
      image.treatment = edge.treatment;
      image.allowance = edge.allowance;
      proposed.push_back({Sureness::kLikely,
                          fmt::format("{}, {}: {} with {:g} mm, as the mirror image of {}", piece.name,
                                      image.name, name_of(image.treatment), image.allowance, edge.name),
                          edge_pointer(piece, i)});
    }
  }
}

}  // namespace lastwright
