#include "grading/checks/seams/seam_edges.hpp"

#include <algorithm>
#include <optional>

namespace lastwright {

bool SeamEdges::take(const SeamReport& report) {
  seam_ = &style_.seams[report.seam];
  const std::optional<SideOfSeam> one = side_of_seam(grade_, seam_->one);
  const std::optional<SideOfSeam> other = side_of_seam(grade_, seam_->other);
  if (!one || !other) return false;
  one_ = *one;
  other_ = *other;
  return !on_fold(one_) && !on_fold(other_);
}

StitchRows SeamEdges::rows_on(const SideOfSeam& top, double lap) const {
  StitchRows rows;
  for (const FeatureSpec& feature : piece(top).features) {
    const auto* line = std::get_if<LineWork>(&feature.work);
    if (line == nullptr || line->kind != LineKind::kStitch) continue;
    const auto& edges = line->along.edges;
    if (std::find(edges.begin(), edges.end(), edge(top).name) == edges.end()) continue;
    const double first = line->along.inset.value();
    const double last = first + (line->rows - 1) * line->row_gap.value();
    if (first < rows.first) {
      rows.first = first;
      if (rows.last == 0.0) rows.name = feature.name;
    }
    if (first >= lap || last <= rows.last) continue;
    rows.last = last;
    rows.name = feature.name;
  }
  return rows;
}

}  // namespace lastwright
