#include "geometry/solid/mesh_pips.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/solid/mesh_body.hpp"

namespace lastwright {

namespace {

constexpr double kLeastPip = 0.5;  // mm: less does nothing to a tape that a base may not have anyway
constexpr double kPipPerSide =
    0.25;  // of the sides' length: corners of a coarse mesh lie as far off its chords
constexpr double kPipPerRough = 10.0;  // standard deviations: of a million corners none is so far off
constexpr double kLikeIts =
    1.0 / 3.0;  // of a pip: what lies so far off beside it belongs to it, or to an edge
constexpr std::size_t kMostOfPip = 8;    // corners: more are a form
constexpr std::size_t kMostAround = 64;  // of one corner: the hub of a fan is no corner that could be judged

using Around = std::vector<std::vector<std::uint32_t>>;

Around corners_around(const Mesh& mesh) {
  Around around(mesh.nodes.size());
  for (const MeshSide& side : mesh.sides) {
    around[side.a].push_back(side.b);
    around[side.b].push_back(side.a);
  }
  for (std::vector<std::uint32_t>& some : around) {
    std::sort(some.begin(), some.end());
    some.erase(std::unique(some.begin(), some.end()), some.end());
  }
  return around;
}

bool holds(const std::vector<std::uint32_t>& sorted, std::uint32_t i) {
  return std::binary_search(sorted.begin(), sorted.end(), i);
}

class PipSearch {
 public:
  PipSearch(const Mesh& mesh, double rough)
      : mesh_(mesh), around_(corners_around(mesh)), rough_(rough), off_(mesh.nodes.size(), 0.0) {
    for (std::uint32_t i = 0; i < off_.size(); ++i) off_[i] = off_what_spans(i);
  }

  std::vector<MeshPip> find() const {
    std::vector<MeshPip> pips;
    for (std::uint32_t i = 0; i < off_.size(); ++i) {
      if (off_[i] < least(i) || !is_highest(i)) continue;
      std::vector<std::uint32_t> group = group_of(i);
      if (group.size() <= kMostOfPip) pips.push_back({std::move(group), point(i), 0.0});
    }
    return pips;
  }

  [[nodiscard]] const std::vector<std::uint32_t>& around(std::uint32_t i) const { return around_[i]; }

 private:
  [[nodiscard]] Vec3 point(std::uint32_t i) const { return mesh_.nodes[i].point; }

  // mm: of the sides between the neighbours of a corner, which do not hang on where it lies itself.
  [[nodiscard]] double side_around(std::uint32_t i) const {
    double sides = 0.0;
    double count = 0.0;
    for (std::uint32_t a : around_[i]) {
      for (std::uint32_t b : around_[a]) {
        if (b == i || !holds(around_[i], b)) continue;
        sides += distance(point(a), point(b));
        count += 1.0;
      }
    }
    return count > 0.0 ? sides / count : 0.0;
  }

  // mm: the smallest deviation that may be a pip at a corner.
  [[nodiscard]] double least(std::uint32_t i) const {
    return std::max({kLeastPip, kPipPerSide * side_around(i), kPipPerRough * rough_});
  }

  // How far a corner lies off the surface beyond one of its neighbours, run on to it; nothing where none is
  // there.
  [[nodiscard]] double off_run_on(std::uint32_t i, std::uint32_t a, double side) const {
    double best = std::numeric_limits<double>::infinity();
    const Vec3 to_corner = point(i) - point(a);
    for (std::uint32_t b : around_[a]) {
      if (b == i || holds(around_[i], b)) continue;
      const Vec3 step = point(a) - point(b);
      const double length = norm(step);
      if (!(length > 0.0)) continue;
      const double ahead = dot(step, to_corner) / length;
      const double across = norm(to_corner - (ahead / length) * step);
      // What is run on by a side, and is shorter itself, is known so much less well.
      best = std::min(best,
                      ahead > 0.0 ? across / std::max(1.0, std::min(ahead, side) / length) : norm(to_corner));
    }
    return best;
  }

  [[nodiscard]] double off_chords(std::uint32_t i, double best) const {
    const std::vector<std::uint32_t>& ring = around_[i];
    for (std::size_t k = 0; k < ring.size(); ++k) {
      for (std::size_t m = 0; m < k; ++m) {
        const Vec3 from = point(ring[m]);
        const Vec3 chord = point(ring[k]) - from;
        const double square = dot(chord, chord);
        const double t = square > 0.0 ? std::clamp(dot(chord, point(i) - from) / square, 0.0, 1.0) : 0.0;
        best = std::min(best, distance(point(i), from + t * chord));
      }
    }
    return best;
  }

  [[nodiscard]] double off_what_spans(std::uint32_t i) const {
    if (around_[i].size() > kMostAround) return 0.0;
    const double side = side_around(i);
    std::vector<double> run_on;
    for (std::uint32_t a : around_[i]) {
      if (around_[a].size() > kMostAround) continue;
      if (const double off = off_run_on(i, a, side); std::isfinite(off)) run_on.push_back(off);
    }
    if (run_on.empty()) return 0.0;
    const auto middle = run_on.begin() + static_cast<std::ptrdiff_t>(run_on.size() / 2);
    std::nth_element(run_on.begin(), middle, run_on.end());
    return *middle < kLikeIts * kLeastPip ? *middle : off_chords(i, *middle);
  }

  [[nodiscard]] bool is_highest(std::uint32_t i) const {
    return std::none_of(around_[i].begin(), around_[i].end(),
                        [&](std::uint32_t a) { return off_[a] > off_[i] || (off_[a] == off_[i] && a < i); });
  }

  // It and what hangs together with it and lies off likewise; one more than a pip may have is enough.
  [[nodiscard]] std::vector<std::uint32_t> group_of(std::uint32_t first) const {
    std::vector<std::uint32_t> group{first};
    for (std::size_t k = 0; k < group.size() && group.size() <= kMostOfPip; ++k) {
      for (std::uint32_t a : around_[group[k]]) {
        if (off_[a] > kLikeIts * off_[first] && std::find(group.begin(), group.end(), a) == group.end())
          group.push_back(a);
      }
    }
    return group;
  }

  const Mesh& mesh_;
  Around around_;
  double rough_;
  std::vector<double> off_;  // mm, by corner: the lesser of both deviations
};

// Where the corners around a pip have its own ones: a few of them, each in the mean of its neighbours.
std::vector<Vec3> laid_flat(const Mesh& mesh, const Around& around, const std::vector<std::uint32_t>& nodes) {
  constexpr int kRounds = 60;
  std::vector<Vec3> at;
  for (std::uint32_t i : nodes) at.push_back(mesh.nodes[i].point);
  for (int round = 0; round < kRounds; ++round) {
    for (std::size_t k = 0; k < nodes.size(); ++k) {
      Vec3 sum;
      for (std::uint32_t a : around[nodes[k]]) {
        const auto own = std::find(nodes.begin(), nodes.end(), a);
        sum += own == nodes.end() ? mesh.nodes[a].point : at[static_cast<std::size_t>(own - nodes.begin())];
      }
      at[k] = sum / static_cast<double>(around[nodes[k]].size());
    }
  }
  return at;
}

Vec3 outward_at(const Mesh& mesh, std::uint32_t i) {
  Vec3 sum;
  for (const Triangle& t : mesh.triangles) {
    if (t.node[0] != i && t.node[1] != i && t.node[2] != i) continue;
    const Vec3 a = mesh.nodes[t.node[0]].point;
    sum += cross(mesh.nodes[t.node[1]].point - a, mesh.nodes[t.node[2]].point - a);
  }
  return sum;
}

}  // namespace

std::vector<MeshPip> pips_of(const Body& body, double rough) {
  const PipSearch search(body.mesh, rough);
  std::vector<MeshPip> pips = search.find();
  if (pips.empty()) return pips;
  const Around around = corners_around(body.mesh);
  for (MeshPip& pip : pips) {
    const Vec3 moved = pip.at - laid_flat(body.mesh, around, pip.nodes).front();
    pip.off = std::copysign(norm(moved), dot(moved, outward_at(body.mesh, pip.nodes.front())));
  }
  return pips;
}

PlainMesh without_pips(const Body& body, const std::vector<MeshPip>& pips) {
  PlainMesh mesh = facet_mesh(body);
  const Around around = corners_around(body.mesh);
  for (const MeshPip& pip : pips) {
    const std::vector<Vec3> flat = laid_flat(body.mesh, around, pip.nodes);
    for (std::size_t k = 0; k < flat.size(); ++k) mesh.points[pip.nodes[k]] = flat[k];
  }
  return mesh;
}

std::string told_of(std::vector<MeshPip> pips) {
  constexpr std::size_t kNamed = 3;
  std::stable_sort(pips.begin(), pips.end(),
                   [](const MeshPip& a, const MeshPip& b) { return std::abs(a.off) > std::abs(b.off); });
  std::string text =
      pips.size() == 1
          ? std::string("a stray corner of the mesh stands off what its neighbours span: ")
          : fmt::format("{} stray corners of the mesh stand off what their neighbours span: ", pips.size());
  for (std::size_t i = 0; i < std::min(kNamed, pips.size()); ++i) {
    const MeshPip& pip = pips[i];
    text += fmt::format("{}at ({:.1f}, {:.1f}, {:.1f}) by {:.2f} mm {}", i == 0 ? "" : ", ", pip.at.x,
                        pip.at.y, pip.at.z, std::abs(pip.off), pip.off > 0.0 ? "outward" : "inward");
  }
  if (pips.size() > kNamed) text += fmt::format(", and {} more", pips.size() - kNamed);
  return text;
}

}  // namespace lastwright
