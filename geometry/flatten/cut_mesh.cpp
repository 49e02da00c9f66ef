#include "geometry/flatten/cut_mesh.hpp"

#include <algorithm>
#include <map>
#include <numeric>

namespace lastwright {

namespace {

constexpr double kFromEnds = 1e-6;  // of a side: see the header

class MeshCutter {
 public:
  MeshCutter(const SkinMesh& mesh, const std::function<double(Vec3)>& height, bool positive) : mesh_(mesh) {
    heights_.reserve(mesh.points.size());
    for (Vec3 p : mesh.points) {
      double h = height(p);
      if (h == 0.0) h = 1e-12;  // on the surface: counted above it on both sides of the cut
      heights_.push_back(positive ? h : -h);
    }
    cut_.mesh.points = mesh.points;
    cut_.on_cut.assign(mesh.points.size(), false);
  }

  CutMesh done() {
    for (const Corners& t : mesh_.triangles) cut_one(t);
    return std::move(cut_);
  }

 private:
  [[nodiscard]] bool above(std::uint32_t i) const { return heights_[i] > 0.0; }

  std::uint32_t crossing(std::uint32_t a, std::uint32_t b) {
    if (a > b) std::swap(a, b);
    const auto [it, added] = made_.try_emplace({a, b}, static_cast<std::uint32_t>(cut_.mesh.points.size()));
    if (added) {
      const double t = std::clamp(heights_[a] / (heights_[a] - heights_[b]), kFromEnds, 1.0 - kFromEnds);
      cut_.mesh.points.push_back(lerp(mesh_.points[a], mesh_.points[b], t));
      cut_.on_cut.push_back(true);
    }
    return it->second;
  }

  void cut_one(const Corners& t) {
    const int count = above(t[0]) + above(t[1]) + above(t[2]);
    if (count == 0) return;
    if (count == 3) {
      cut_.mesh.triangles.push_back(t);
      return;
    }
    // Turned so that the corner that is alone on its side comes first.
    std::size_t k = 0;
    while (above(t[k]) != (count == 1)) ++k;
    const std::uint32_t a = t[k];
    const std::uint32_t b = t[(k + 1) % 3];
    const std::uint32_t c = t[(k + 2) % 3];
    const std::uint32_t ab = crossing(a, b);
    const std::uint32_t ca = crossing(c, a);
    if (count == 1) {
      cut_.mesh.triangles.push_back({a, ab, ca});
    } else {
      cut_.mesh.triangles.push_back({ab, b, c});
      cut_.mesh.triangles.push_back({ab, c, ca});
    }
  }

  const SkinMesh& mesh_;
  std::vector<double> heights_;
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> made_;
  CutMesh cut_;
};

}  // namespace

CutMesh cut_mesh(const SkinMesh& mesh, const std::function<double(Vec3)>& height, bool positive) {
  return MeshCutter(mesh, height, positive).done();
}

SkinMesh largest_part(const SkinMesh& mesh, std::vector<std::uint32_t>& kept) {
  std::vector<std::uint32_t> root(mesh.points.size());
  std::iota(root.begin(), root.end(), 0U);
  const auto find = [&root](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  for (const Corners& t : mesh.triangles) {
    root[find(t[1])] = find(t[0]);
    root[find(t[2])] = find(t[0]);
  }
  std::vector<double> area(mesh.points.size(), 0.0);
  for (const Corners& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    area[find(t[0])] += norm(cross(mesh.points[t[1]] - a, mesh.points[t[2]] - a));
  }
  const auto best = static_cast<std::uint32_t>(std::max_element(area.begin(), area.end()) - area.begin());
  constexpr std::uint32_t kNone = ~0U;
  std::vector<std::uint32_t> now(mesh.points.size(), kNone);
  SkinMesh part;
  kept.clear();
  for (const Corners& t : mesh.triangles) {
    if (find(t[0]) != best) continue;
    Corners moved{};
    for (std::size_t k = 0; k < 3; ++k) {
      if (now[t[k]] == kNone) {
        now[t[k]] = static_cast<std::uint32_t>(part.points.size());
        part.points.push_back(mesh.points[t[k]]);
        kept.push_back(t[k]);
      }
      moved[k] = now[t[k]];
    }
    part.triangles.push_back(moved);
  }
  return part;
}

std::vector<std::vector<std::uint32_t>> boundary_loops(const std::vector<Corners>& triangles) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> sides;
  for (const Corners& t : triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (++sides[{t[k], t[(k + 1) % 3]}] > 1) return {};
    }
  }
  std::map<std::uint32_t, std::uint32_t> next;
  for (const auto& [side, count] : sides) {
    if (sides.contains({side.second, side.first})) continue;
    if (!next.emplace(side.first, side.second).second) return {};
  }
  std::vector<std::vector<std::uint32_t>> loops;
  while (!next.empty()) {
    std::vector<std::uint32_t> loop;
    auto it = next.begin();
    while (it != next.end()) {
      loop.push_back(it->first);
      const std::uint32_t to = it->second;
      next.erase(it);
      it = next.find(to);
    }
    loops.push_back(std::move(loop));
  }
  return loops;
}

}  // namespace lastwright
