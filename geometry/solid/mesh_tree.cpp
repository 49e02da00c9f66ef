#include "geometry/solid/mesh_tree.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <numeric>
#include <utility>

namespace lastwright {

namespace {

// Halves of at most 2^32 triangles; what waits is one box a level and one more.
constexpr std::size_t kDeepest = 33;

Vec3 centre(const Mesh& mesh, std::uint32_t t) {
  const auto& n = mesh.triangles[t].node;
  return (mesh.nodes[n[0]].point + mesh.nodes[n[1]].point + mesh.nodes[n[2]].point) / 3.0;
}

double box_distance(Vec3 low, Vec3 high, Vec3 p) {
  const Vec3 d{std::max({low.x - p.x, 0.0, p.x - high.x}), std::max({low.y - p.y, 0.0, p.y - high.y}),
               std::max({low.z - p.z, 0.0, p.z - high.z})};
  return norm(d);
}

}  // namespace

// By the corner, side and inside regions of the triangle.
std::array<double, 3> foot_on(Vec3 a, Vec3 b, Vec3 c, Vec3 p) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const double d1 = dot(ab, p - a);
  const double d2 = dot(ac, p - a);
  if (d1 <= 0 && d2 <= 0) return {1, 0, 0};
  const double d3 = dot(ab, p - b);
  const double d4 = dot(ac, p - b);
  if (d3 >= 0 && d4 <= d3) return {0, 1, 0};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return {1 - d1 / (d1 - d3), d1 / (d1 - d3), 0};
  const double d5 = dot(ab, p - c);
  const double d6 = dot(ac, p - c);
  if (d6 >= 0 && d5 <= d6) return {0, 0, 1};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return {1 - d2 / (d2 - d6), 0, d2 / (d2 - d6)};
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const double t = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return {0, 1 - t, t};
  }
  const double sum = va + vb + vc;
  if (!(sum > 0)) return {1, 0, 0};
  return {va / sum, vb / sum, vc / sum};
}

MeshTree::MeshTree(const Body& body) : body_(&body), order_(body.mesh.triangles.size()) {
  std::iota(order_.begin(), order_.end(), 0u);
  nodes_.emplace_back();
  split(0, 0, static_cast<std::uint32_t>(order_.size()));
}

void MeshTree::split(std::uint32_t node, std::uint32_t first, std::uint32_t last) {
  const Mesh& mesh = body_->mesh;
  constexpr double inf = std::numeric_limits<double>::infinity();
  Vec3 low{inf, inf, inf};
  Vec3 high{-inf, -inf, -inf};
  for (std::uint32_t i = first; i < last; ++i) {
    for (std::uint32_t n : mesh.triangles[order_[i]].node) {
      const Vec3 p = mesh.nodes[n].point;
      low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
      high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
    }
  }
  nodes_[node] = {low, high, first, last - first};
  if (last - first <= 6) return;
  const Vec3 size = high - low;
  const auto key = [&](std::uint32_t t) {
    const Vec3 c = centre(mesh, t);
    if (size.x >= size.y && size.x >= size.z) return c.x;
    return size.y >= size.z ? c.y : c.z;
  };
  const std::uint32_t middle = first + (last - first) / 2;
  std::nth_element(order_.begin() + first, order_.begin() + middle, order_.begin() + last,
                   [&](std::uint32_t a, std::uint32_t b) {
                     const double ka = key(a);
                     const double kb = key(b);
                     return ka < kb || (ka == kb && a < b);
                   });
  const auto children = static_cast<std::uint32_t>(nodes_.size());
  nodes_.emplace_back();
  nodes_.emplace_back();
  nodes_[node].first = children;
  nodes_[node].count = 0;
  split(children, first, middle);
  split(children + 1, middle, last);
}

MeshTree::Nearest MeshTree::nearest(Vec3 p) const {
  const Mesh& mesh = body_->mesh;
  Nearest best;
  best.distance = std::numeric_limits<double>::infinity();
  // Boxes still to look into with how far they are, the nearer child on top.
  std::array<std::pair<double, std::uint32_t>, kDeepest + 1> open;
  std::size_t left = 0;
  open[left++] = {0.0, 0};
  while (left > 0) {
    const auto [far, index] = open[--left];
    if (far >= best.distance) continue;
    const Node& node = nodes_[index];
    if (node.count == 0) {
      std::pair<double, std::uint32_t> near{box_distance(nodes_[node.first].low, nodes_[node.first].high, p),
                                            node.first};
      std::pair<double, std::uint32_t> other{
          box_distance(nodes_[node.first + 1].low, nodes_[node.first + 1].high, p), node.first + 1};
      if (!(near.first < other.first)) std::swap(near, other);
      open[left++] = other;
      open[left++] = near;
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const Triangle& t = mesh.triangles[order_[i]];
      const MeshNode& a = mesh.nodes[t.node[0]];
      const MeshNode& b = mesh.nodes[t.node[1]];
      const MeshNode& c = mesh.nodes[t.node[2]];
      const auto w = foot_on(a.point, b.point, c.point, p);
      const double d = distance(p, w[0] * a.point + w[1] * b.point + w[2] * c.point);
      if (d < best.distance) {
        best.distance = d;
        best.spot = {t.face, w[0] * a.u + w[1] * b.u + w[2] * c.u, w[0] * a.v + w[1] * b.v + w[2] * c.v};
        if (body_->facets) best.spot = {t.face, order_[i] + 0.5 * w[1], w[2]};
      }
    }
  }
  return best;
}

}  // namespace lastwright
