#include "geometry/solid/mesh_tree.hpp"

#include <algorithm>
#include <array>
#include <cmath>
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

double squared(Vec3 a) {
  return dot(a, a);
}

// Of the way to a box.
[[gnu::always_inline]] inline double squared_to(const Vec3& low, const Vec3& high, const Vec3& p) {
  const double x = std::max(std::max(low.x - p.x, 0.0), p.x - high.x);
  const double y = std::max(std::max(low.y - p.y, 0.0), p.y - high.y);
  const double z = std::max(std::max(low.z - p.z, 0.0), p.z - high.z);
  return x * x + y * y + z * z;
}

// Whether the root of a is less than that of b: roots of neighbours may be equal.
bool shorter(double a, double b) {
  constexpr double kNeighbours = 1.0 - 1e-15;
  if (!(a < b)) return false;
  return a < kNeighbours * b || std::sqrt(a) < std::sqrt(b);
}

// mm, far above what rounding does to a distance and far below what matters: as much farther than the hint's
// triangle the search begins. All that lies nearer is then looked at in the order in which it is without a
// hint, and the same triangle wins, also of several that are equally near.
constexpr double kSlack = 1e-6;

// By the corner, side and inside regions of the triangle.
[[gnu::always_inline]] inline std::array<double, 3> foot(const Vec3& a, const Vec3& b, const Vec3& c,
                                                         const Vec3& p) {
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

}  // namespace

std::array<double, 3> foot_on(Vec3 a, Vec3 b, Vec3 c, Vec3 p) {
  return foot(a, b, c, p);
}

MeshTree::MeshTree(const Body& body) : body_(&body), order_(body.mesh.triangles.size()) {
  std::iota(order_.begin(), order_.end(), 0u);
  nodes_.emplace_back();
  child(0, 0, 0, static_cast<std::uint32_t>(order_.size()));
  corners_.reserve(order_.size());
  for (std::uint32_t i = 0; i < order_.size(); ++i) {
    const auto& n = body.mesh.triangles[order_[i]].node;
    const std::vector<MeshNode>& nodes = body.mesh.nodes;
    corners_.push_back({nodes[n[0]].point, nodes[n[1]].point, nodes[n[2]].point, box_of(i, i + 1)});
  }
}

MeshTree::Box MeshTree::box_of(std::uint32_t first, std::uint32_t last) const {
  const Mesh& mesh = body_->mesh;
  constexpr double inf = std::numeric_limits<double>::infinity();
  Box box{{inf, inf, inf}, {-inf, -inf, -inf}};
  for (std::uint32_t i = first; i < last; ++i) {
    for (std::uint32_t n : mesh.triangles[order_[i]].node) {
      const Vec3 p = mesh.nodes[n].point;
      box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
      box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
    }
  }
  return box;
}

void MeshTree::child(std::uint32_t node, std::size_t which, std::uint32_t first, std::uint32_t last) {
  const Mesh& mesh = body_->mesh;
  const Box box = box_of(first, last);
  Node& of = nodes_[node];
  of.low[0][which] = box.low.x;
  of.low[1][which] = box.low.y;
  of.low[2][which] = box.low.z;
  of.high[0][which] = box.high.x;
  of.high[1][which] = box.high.y;
  of.high[2][which] = box.high.z;
  nodes_[node].first[which] = first;
  nodes_[node].count[which] = last - first;
  if (last - first <= 6) return;
  const Vec3 size = box.high - box.low;
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
  const auto below = static_cast<std::uint32_t>(nodes_.size());
  nodes_.emplace_back();
  nodes_[node].first[which] = below;
  nodes_[node].count[which] = 0;
  child(below, 0, first, middle);
  child(below, 1, middle, last);
}

MeshTree::Nearest MeshTree::nearest(Vec3 p, std::uint32_t hint) const {
  Nearest best;
  best.distance = std::numeric_limits<double>::infinity();
  std::array<double, 3> weights{1, 0, 0};
  double looked_at = best.distance;  // squared: what lies farther cannot win
  const auto bound = [&](double distance) {
    best.distance = distance;
    looked_at = (distance + kSlack) * (distance + kSlack);
  };
  if (corners_.empty()) return best;
  if (hint < corners_.size()) {
    const Corners& t = corners_[hint];
    const auto w = foot(t.a, t.b, t.c, p);
    bound(distance(p, w[0] * t.a + w[1] * t.b + w[2] * t.c) + kSlack);
  }
  struct Open {
    double squared;
    std::uint32_t first, count;
  };
  // Boxes still to look into with how far they are, the nearer child on top.
  std::array<Open, kDeepest + 1> open;
  std::size_t left = 0;
  open[left++] = {0.0, nodes_[0].first[0], nodes_[0].count[0]};
  while (left > 0) {
    const Open top = open[--left];
    if (top.squared > looked_at || (top.squared > 0.0 && std::sqrt(top.squared) >= best.distance)) continue;
    if (top.count == 0) {
      const Node& node = nodes_[top.first];
      const auto beside = [&node](std::size_t axis, double at) {
        const Two below = node.low[axis] - at;
        const Two above = at - node.high[axis];
        const Two inside = below > 0.0 ? below : Two{};
        return inside > above ? inside : above;
      };
      const Two x = beside(0, p.x);
      const Two y = beside(1, p.y);
      const Two z = beside(2, p.z);
      const Two squared = x * x + y * y + z * z;
      const Open one{squared[0], node.first[0], node.count[0]};
      const Open two{squared[1], node.first[1], node.count[1]};
      const bool one_first = shorter(one.squared, two.squared);
      const Open& far = one_first ? two : one;
      if (!(far.squared > looked_at)) open[left++] = far;
      open[left++] = one_first ? one : two;
      continue;
    }
    for (std::uint32_t i = top.first; i < top.first + top.count; ++i) {
      const Corners& t = corners_[i];
      if (squared_to(t.box.low, t.box.high, p) > looked_at) continue;
      const auto w = foot(t.a, t.b, t.c, p);
      const double far = squared(w[0] * t.a + w[1] * t.b + w[2] * t.c - p);
      if (far > looked_at) continue;
      if (const double d = std::sqrt(far); d < best.distance) {
        bound(d);
        best.place = i;
        weights = w;
      }
    }
  }
  if (best.place == kNowhere) return best;
  const Triangle& t = body_->mesh.triangles[order_[best.place]];
  const MeshNode& a = body_->mesh.nodes[t.node[0]];
  const MeshNode& b = body_->mesh.nodes[t.node[1]];
  const MeshNode& c = body_->mesh.nodes[t.node[2]];
  const auto& w = weights;
  best.spot = {t.face, w[0] * a.u + w[1] * b.u + w[2] * c.u, w[0] * a.v + w[1] * b.v + w[2] * c.v};
  if (body_->facets) best.spot = {t.face, order_[best.place] + 0.5 * w[1], w[2]};
  return best;
}

}  // namespace lastwright
