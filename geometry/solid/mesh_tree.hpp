// Finds the nearest triangle of a body's mesh: a tree of boxes over the triangles.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/solid/body.hpp"

namespace lastwright {

// Weights of the corners a, b, c of the point of their triangle nearest to p.
std::array<double, 3> foot_on(Vec3 a, Vec3 b, Vec3 c, Vec3 p);

class MeshTree {
 public:
  explicit MeshTree(const Body& body);

  struct Nearest {
    SurfaceSpot spot;  // by the triangle's corners' parameters; near the true foot, not on it
    double distance = 0.0;
  };
  [[nodiscard]] Nearest nearest(Vec3 p) const;

 private:
  struct Node {
    Vec3 low, high;
    std::uint32_t first = 0, count = 0;  // triangles; count 0: children at first, first + 1
  };
  void split(std::uint32_t node, std::uint32_t first, std::uint32_t last);
  const Body* body_;
  std::vector<std::uint32_t> order_;
  std::vector<Node> nodes_;
};

}  // namespace lastwright
