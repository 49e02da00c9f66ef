// A closed mesh over the surface of a grid of boxes, laid wherever a test wants its points.
#pragma once

#include <array>
#include <cstdint>
#include <map>

#include "geometry/solid/body.hpp"

namespace lastwright::test {

// `most`: the grid's boxes along x, y and z. `place`: where a point of the grid lies, asked once for each in
// the order of the mesh's points.
template <class Place>
PlainMesh grid_block(const std::array<int, 3>& most, Place place) {
  PlainMesh made;
  std::map<std::array<int, 3>, std::uint32_t> number;
  const auto corner = [&](const std::array<int, 3>& at) {
    const auto [found, is_new] = number.try_emplace(at, static_cast<std::uint32_t>(made.points.size()));
    if (is_new) made.points.push_back(place(at));
    return found->second;
  };
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const std::size_t u = (axis + 1) % 3;
    const std::size_t v = (axis + 2) % 3;
    for (const bool far : {false, true}) {
      for (int i = 0; i < most[u] * most[v]; ++i) {
        std::array<int, 3> at{};
        at[axis] = far ? most[axis] : 0;
        const auto moved = [&](int du, int dv) {
          std::array<int, 3> one = at;
          one[u] = i % most[u] + du;
          one[v] = i / most[u] + dv;
          return corner(one);
        };
        const std::array<std::uint32_t, 4> q{moved(0, 0), moved(1, 0), moved(1, 1), moved(0, 1)};
        // Seen from outside they go round the other way at the near side.
        for (const std::array<std::size_t, 3>& k : {std::array<std::size_t, 3>{0, 1, 2}, {0, 2, 3}})
          made.triangles.push_back({q[k[0]], q[k[far ? 1 : 2]], q[k[far ? 2 : 1]]});
      }
    }
  }
  return made;
}

}  // namespace lastwright::test
