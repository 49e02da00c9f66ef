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

  static constexpr std::uint32_t kNowhere = UINT32_MAX;
  struct Nearest {
    SurfaceSpot spot;  // by the triangle's corners' parameters; near the true foot, not on it
    double distance = 0.0;
    std::uint32_t place = kNowhere;  // of the triangle in this tree: a hint for a point close by
  };
  // A hint spares most of the search and never changes what is found, to the last digit.
  [[nodiscard]] Nearest nearest(Vec3 p, std::uint32_t hint = kNowhere) const;

 private:
  struct Box {
    Vec3 low, high;
  };
  using Two = double __attribute__((vector_size(16)));  // of both children, reckoned side by side
  struct Node {
    std::array<Two, 3> low{}, high{};    // boxes of the children, by axis
    std::array<std::uint32_t, 2> first;  // of a leaf its first corner set, else the child's node
    std::array<std::uint32_t, 2> count;  // corner sets of a leaf; 0: a node
  };
  struct Corners {
    Vec3 a, b, c;
    Box box;
  };
  Box box_of(std::uint32_t first, std::uint32_t last) const;
  void child(std::uint32_t node, std::size_t which, std::uint32_t first, std::uint32_t last);
  const Body* body_;
  std::vector<std::uint32_t> order_;  // the triangles
  std::vector<Corners> corners_;      // in that order
  std::vector<Node> nodes_;
};

}  // namespace lastwright
