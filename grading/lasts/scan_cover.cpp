#include "grading/lasts/scan_cover.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

struct Sample {
  Vec3 p;
  double weight = 0.0;
  int role = 0;
};

double longest_way(const std::vector<Vec3>& points) {
  return points.size() < 3 ? 0.0 : longest_axis(points);
}

// Samples that lie in neighbouring cells of 2 mm hang together; the heaviest part first.
std::vector<SurfacePatch> patches_of(const std::vector<Sample>& samples, double total) {
  constexpr double kWide = 2.0;
  using Key = std::array<int, 3>;
  std::map<Key, std::vector<std::size_t>> cells;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const auto cell = [](double at) { return static_cast<int>(std::floor(at / kWide)); };
    cells[{cell(samples[i].p.x), cell(samples[i].p.y), cell(samples[i].p.z)}].push_back(i);
  }
  std::vector<SurfacePatch> patches;
  while (!cells.empty()) {
    std::vector<Key> next{cells.begin()->first};
    std::vector<std::size_t> members = std::move(cells.begin()->second);
    cells.erase(cells.begin());
    while (!next.empty()) {
      const Key here = next.back();
      next.pop_back();
      for (int n = 0; n < 27; ++n) {
        const auto it = cells.find({here[0] + n % 3 - 1, here[1] + n / 3 % 3 - 1, here[2] + n / 9 - 1});
        if (it == cells.end()) continue;
        next.push_back(it->first);
        members.insert(members.end(), it->second.begin(), it->second.end());
        cells.erase(it);
      }
    }
    SurfacePatch patch;
    Vec3 mean;
    std::vector<Vec3> points;
    for (const std::size_t i : members) {
      patch.area += samples[i].weight;
      mean += samples[i].weight * samples[i].p;
      points.push_back(samples[i].p);
    }
    mean = mean / patch.area;
    std::size_t middle = members.front();
    for (const std::size_t i : members) {
      if (distance(samples[i].p, mean) < distance(samples[middle].p, mean)) middle = i;
    }
    patch.share = patch.area / total;
    patch.size = longest_way(points);
    patch.middle = samples[middle].p;
    patch.role = samples[middle].role;
    patches.push_back(patch);
  }
  std::stable_sort(patches.begin(), patches.end(),
                   [](const SurfacePatch& a, const SurfacePatch& b) { return a.area > b.area; });
  return patches;
}

std::string place_word(const SurfacePatch& patch, double length, LastFoot foot) {
  return place_of(place_at(patch.middle, patch.role, length, foot));
}

}  // namespace

std::string percent_of(double share) {
  return share < 0.001 ? std::string("less than 0.1 %") : fmt::format("{:.1f} %", 100.0 * share);
}

double may_lie_off(double away) {
  return away > kSeenWithin ? 0.5 * (away - kSeenWithin) : 0.0;
}

SeenPoints::SeenPoints(const ScanFit& fit) : fit_(&fit) {
  Vec3 high{-1e300, -1e300, -1e300};
  low_ = {1e300, 1e300, 1e300};
  for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
    const Residual& r = fit.residuals[i];
    if (r.apart) {
      apart_.push_back(i);
      continue;
    }
    low_ = {std::min(low_.x, r.foot.x), std::min(low_.y, r.foot.y), std::min(low_.z, r.foot.z)};
    high = {std::max(high.x, r.foot.x), std::max(high.y, r.foot.y), std::max(high.z, r.foot.z)};
  }
  if (apart_.size() == fit.residuals.size()) return;
  count_ = cell_of(high);
  for (int& n : count_) ++n;
  first_.assign(index(cell_of(high)) + 2, 0);
  for (const Residual& r : fit.residuals) {
    if (!r.apart) ++first_[index(cell_of(r.foot)) + 1];
  }
  for (std::size_t c = 1; c < first_.size(); ++c) first_[c] += first_[c - 1];
  feet_.resize(first_.back());
  std::vector<std::uint32_t> next = first_;
  for (const Residual& r : fit.residuals) {
    if (!r.apart) feet_[next[index(cell_of(r.foot))]++] = r.foot;
  }
}

SeenPoints::Cell SeenPoints::cell_of(Vec3 p) const {
  const auto cell = [](double at) { return static_cast<int>(std::floor(at / kSeenWithin)); };
  return {cell(p.x - low_.x), cell(p.y - low_.y), cell(p.z - low_.z)};
}

std::size_t SeenPoints::index(const Cell& cell) const {
  const auto at = [&](std::size_t k) { return static_cast<std::size_t>(cell[k]); };
  const auto n = [&](std::size_t k) { return static_cast<std::size_t>(count_[k]); };
  return (at(0) * n(1) + at(1)) * n(2) + at(2);
}

double SeenPoints::nearest(Vec3 p) const {
  double best = kLooksFor;
  const Cell here = cell_of(p);
  const int rings = static_cast<int>(std::ceil(kLooksFor / kSeenWithin));
  for (int ring = 0; ring <= rings && best > (ring - 1) * kSeenWithin; ++ring) {
    for (int i = -ring; i <= ring; ++i) {
      const int x = here[0] + i;
      if (x < 0 || x >= count_[0]) continue;
      for (int j = -ring; j <= ring; ++j) {
        const int y = here[1] + j;
        if (y < 0 || y >= count_[1]) continue;
        const bool rim = std::abs(i) == ring || std::abs(j) == ring;  // else only the ends
        for (int k = -ring; k <= ring; k += rim || ring == 0 ? 1 : 2 * ring) {
          const int z = here[2] + k;
          if (z < 0 || z >= count_[2]) continue;
          const std::size_t cell = index({x, y, z});
          for (std::uint32_t f = first_[cell]; f < first_[cell + 1]; ++f)
            best = std::min(best, distance(feet_[f], p));
        }
      }
    }
  }
  return best;
}

SeenPoints::LeftOut SeenPoints::left_out(Vec3 p) const {
  LeftOut found;
  for (const std::size_t i : apart_) {
    const Residual& r = fit_->residuals[i];
    if (distance(r.foot, p) > kSeenWithin) continue;
    found.out = std::max(found.out, r.off);
    found.in = std::min(found.in, r.off);
  }
  return found;
}

ScanCover cover_of(const ScanFit& fit, const Body& nominal) {
  const SeenPoints seen(fit);
  ScanCover cover;
  double total = 0.0;
  std::vector<Sample> unseen;
  for (const Triangle& t : nominal.mesh.triangles) {
    const int role = nominal.faces[static_cast<std::size_t>(t.face)].role;
    if (role == FaceRole::kHole) continue;  // no scanner looks in
    const Vec3 a = nominal.mesh.nodes[t.node[0]].point;
    const Vec3 b = nominal.mesh.nodes[t.node[1]].point;
    const Vec3 c = nominal.mesh.nodes[t.node[2]].point;
    const double side = std::max({distance(a, b), distance(b, c), distance(c, a)});
    const double area = 0.5 * norm(cross(b - a, c - a));
    const int parts = std::clamp(static_cast<int>(std::ceil(side / kSeenWithin)), 1, 200);
    const double share = 2.0 * area / (parts * (parts + 1.0));
    total += area;
    for (int i = 0; i < parts; ++i) {
      for (int j = 0; i + j < parts; ++j) {
        const double u = (i + 1.0 / 3.0) / parts;
        const double v = (j + 1.0 / 3.0) / parts;
        const Vec3 p = a + u * (b - a) + v * (c - a);
        if (seen.nearest(p) > kSeenWithin) unseen.push_back({p, share, role});
      }
    }
  }
  cover.holes = patches_of(unseen, total);
  // What is hidden begins nearer to what is seen.
  for (SurfacePatch& hole : cover.holes) {
    hole.size += 2.0 * kSeenWithin;
    cover.unseen += hole.share;
  }
  std::vector<Sample> apart;
  for (const Residual& r : fit.residuals) {
    if (r.apart) apart.push_back({r.foot, 1.0, nominal.faces[static_cast<std::size_t>(r.face)].role});
  }
  cover.left_out = patches_of(apart, static_cast<double>(fit.residuals.size()));
  for (SurfacePatch& patch : cover.left_out) patch.area = 0.0;
  return cover;
}

std::string told_holes(const ScanCover& cover, double length, LastFoot foot, std::size_t most) {
  if (cover.holes.empty()) return {};
  std::string places;
  for (std::size_t i = 0; i < std::min(most, cover.holes.size()); ++i) {
    const SurfacePatch& hole = cover.holes[i];
    places += fmt::format("{}{:.0f} mm at {}", i == 0 ? "" : "; ", hole.size, place_word(hole, length, foot));
  }
  const std::size_t count = cover.holes.size();
  return fmt::format("{} of the last's surface is not scanned, in {} of {}", percent_of(cover.unseen),
                     count == 1     ? std::string("a hole")
                     : count > most ? fmt::format("holes, {} in all, the largest", count)
                                    : fmt::format("holes, {} in all,", count),
                     places);
}

std::string told_left_out(const ScanCover& cover, double beyond, double left_out, double length,
                          LastFoot foot) {
  if (cover.left_out.empty()) return {};
  const SurfacePatch& most = cover.left_out.front();
  return fmt::format(
      "{} of the scan's points are left out of the measures: they lie more than {:.1f} mm off the last, or "
      "face elsewhere than it does there (walls of a cut, a stand, dirt); most over {:.0f} mm at {}",
      percent_of(left_out), beyond, std::max(1.0, most.size), place_word(most, length, foot));
}

}  // namespace lastwright
