// Where the labels of a nest go: in a column beside it, on leaders from where its outlines lie farthest
// apart. Leaders never cross while the outlines follow each other in order.
#pragma once

#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct NestLabel {
  std::size_t outline = 0;  // index
  Vec2 tip;                 // on the outline
  Vec2 elbow;               // end of the leader, where the text begins or ends
};

enum class Side { kRight, kLeft };

struct NestLabels {
  Side side = Side::kRight;  // of the nest, on which the labels stand
  std::vector<NestLabel> labels;
  Box2 box;  // tips, leaders and texts
};

// `height`: of a capital. `widest`: of the widest label, millimetres.
NestLabels place_labels(const std::vector<ClosedArcPath>& outlines, double height, double widest);

}  // namespace lastwright
