// Joins the corners of triangles as a mesh file is read.
#pragma once

#include <array>
#include <cstdint>
#include <unordered_map>
#include <vector>

#include "geometry/solid/stl.hpp"

namespace lastwright {

// Corners whose coordinates round to the same multiple of the grid are one.
class CornerJoiner {
 public:
  explicit CornerJoiner(double grid = 1e-5) : grid_(grid) {}  // mm: single precision at the size of a last
  std::uint32_t add(PlainMesh& mesh, Vec3 p);
  // The triangle, or a count more of those without area.
  void add_triangle(StlRead& read, const std::array<Vec3, 3>& corners);
  // The same triangles, their corners numbered anew in the order in which a file lists them; of those at one
  // place the first counts.
  [[nodiscard]] StlRead in_order_of(StlRead read, const std::vector<Vec3>& listed) const;

 private:
  [[nodiscard]] std::array<std::int64_t, 3> key_of(Vec3 p) const;
  struct Hash {
    std::size_t operator()(const std::array<std::int64_t, 3>& k) const {
      std::size_t h = 1469598103934665603u;
      for (std::int64_t v : k) h = (h ^ static_cast<std::size_t>(v)) * 1099511628211u;
      return h;
    }
  };
  double grid_;
  std::unordered_map<std::array<std::int64_t, 3>, std::uint32_t, Hash> known_;
};

}  // namespace lastwright
