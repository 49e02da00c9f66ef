#include "grading/grade/net_spans.hpp"

namespace lastwright {

std::vector<SmoothSpan> net_spans(const PieceShape& shape, ShapeNodes nodes) {
  const auto tangent = [&](std::uint32_t node) {
    const std::size_t row = 4 * std::size_t{node};
    return unit({nodes[row + 2], nodes[row + 3]});
  };
  std::vector<SmoothSpan> spans;
  for (const ShapePath& edge : shape.edges) {
    for (const ShapeSpan& span : edge) {
      if (span.straight) continue;
      spans.push_back({shaped_point(nodes, span.from), tangent(span.from), shaped_point(nodes, span.to),
                       tangent(span.to)});
    }
  }
  return spans;
}

}  // namespace lastwright
