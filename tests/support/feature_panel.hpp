// A graded piece for tests of features: an outline cut into edges with an allowance all round, in one size.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/course.hpp"
#include "geometry/offset/offset.hpp"
#include "grading/features/feature_place.hpp"
#include "grading/pieces/piece_edges.hpp"

namespace lastwright::test {

struct FeaturePanel {
  StyleSpec style;
  FormeSpec forme;
  SizeRun run;
  PieceSpec piece;
  GradedPiece graded;
  std::optional<FoldLine> fold;

  FeaturePanel(const ClosedArcPath& net, double allowance, int edges = 3) {
    style.name = "Blob";
    piece.name = "piece";
    for (int i = 0; i < edges; ++i) {
      piece.edges.push_back(
          {"edge " + std::to_string(i), "", "", Treatment::kRaw, Millimetres(allowance), {}, false});
    }
    const std::size_t n = net.size();
    graded.piece = piece.name;
    graded.at = {{Fraction(8), "8"}, {Fraction(1), "F"}};
    graded.net.path = net;
    for (std::size_t i = 0; i < n; ++i)
      graded.net.edge.push_back(static_cast<std::uint16_t>(i * static_cast<std::size_t>(edges) / n));
    graded.cut = graded.net;
    if (allowance > 0.0) {
      const OffsetOutline cut = *offset(net, Millimetres(allowance));
      graded.cut.path = cut.path;
      graded.cut.edge.clear();
      for (const OffsetSource& source : cut.source)
        graded.cut.edge.push_back(graded.net.edge[source.segment]);
    }
    run.sizes = run.stated_sizes = {graded.at.size};
    run.widths = run.stated_widths = {graded.at.width};
    run.base = graded.at;
  }

  [[nodiscard]] FeaturePlan plan() const { return *plan_features(style, piece, forme, run); }
  [[nodiscard]] Result<std::vector<PlacedFeature>> place() const {
    const FeaturePlan planned = plan();
    const std::vector<Millimetres> outside(piece.edges.size(), piece.edges.front().allowance);
    return lastwright::place_features({piece, planned, planned.spots, fold, graded, outside, graded.at.size});
  }
  [[nodiscard]] OpenArcPath edge(std::size_t i) const {
    return PieceEdges(graded.net, piece.edges.size(), {}).edge(i);
  }
  // Whether a ray outward from a share of the edge's length is still inside the cut line at `reach`.
  [[nodiscard]] bool deep(std::size_t i, double share, double reach) const {
    const OpenArcPath path = edge(i);
    const Course course(path);
    const auto place = course.at(share * course.length());
    for (double t = 0.05; t < reach; t += 0.05) {
      if (!contains(graded.cut.path, place.at - t * left_of(place.along))) return false;
    }
    return true;
  }
};

// A box about the origin whose lower half (y < 0) is drawn; its fold runs along x from the right to the left.
inline FeaturePanel folded_box(double width, double height, double allowance = 0.0) {
  const double x = 0.5 * width;
  const double y = 0.5 * height;
  FeaturePanel ground(ClosedArcPath{{{{-x, 0}}, {{-x, -y}}, {{x, -y}}, {{x, 0}}, {{x, y}}, {{-x, y}}}},
                      allowance, 1);
  ground.piece.edges.clear();
  for (const char* name : {"left", "bottom", "right", "fold"})
    ground.piece.edges.push_back({name, "", "", Treatment::kRaw, Millimetres(allowance), {}, false});
  ground.piece.fold = "fold";
  ground.graded.net.edge = {0, 1, 2, 2, 1, 0};
  if (allowance == 0.0) ground.graded.cut = ground.graded.net;
  ground.graded.lines.push_back({OpenArcPath{{{{x, 0}, 0.0}, {{-x, 0}, 0.0}}}, Operation::kFold});
  ground.fold = FoldLine{{x, 0}, {-x, 0}};
  return ground;
}

}  // namespace lastwright::test
