#include "geometry/solid/taut_string.hpp"

#include <algorithm>
#include <numbers>

#include "geometry/solid/tape.hpp"

namespace lastwright {

namespace {

constexpr double kCell =
    0.5;  // mm along h; between cells the profile is taken as straight (0.001 mm at radius 40)

// The form in one half-plane: the outermost r at each h, -1 where there is none.
struct Profile {
  Vec3 outward;
  double low = 0.0;
  std::vector<double> r;
  bool held = false;
  double held_r = 0.0;
  double held_h = 0.0;

  [[nodiscard]] double at(double h) const {
    const double cell = std::clamp((h - low) / kCell, 0.0, static_cast<double>(r.size() - 1) - 1e-9);
    const auto i = static_cast<std::size_t>(cell);
    return r[i] + (cell - static_cast<double>(i)) * (r[i + 1] - r[i]);
  }
};

Profile profile_of(const Form& form, const Plane3& plane, Vec3 centre, double angle, double reach) {
  Profile profile;
  profile.outward = std::cos(angle) * plane.e1 + std::sin(angle) * plane.e2;
  profile.low = -reach;
  profile.r.assign(static_cast<std::size_t>(2.0 * reach / kCell) + 1, -1.0);
  const Section cut =
      cut_section(form, plane_through(centre, cross(plane.normal, profile.outward)), {0.002, 12});
  const auto place = [&](std::size_t i) {
    const Vec3 p = cut.points[i].p - centre;
    return std::pair{dot(p, plane.normal), dot(p, profile.outward)};
  };
  const auto draw = [&](std::size_t a, std::size_t b) {
    auto [h0, r0] = place(a);
    auto [h1, r1] = place(b);
    if (h0 > h1) {
      std::swap(h0, h1);
      std::swap(r0, r1);
    }
    const auto first = static_cast<long>(std::ceil((h0 + reach) / kCell));
    const auto last = static_cast<long>(std::floor((h1 + reach) / kCell));
    for (long k = std::max(0L, first); k <= std::min(last, static_cast<long>(profile.r.size()) - 1); ++k) {
      const double h = -reach + kCell * static_cast<double>(k);
      const double t = h1 > h0 ? (h - h0) / (h1 - h0) : 0.0;
      double& r = profile.r[static_cast<std::size_t>(k)];
      r = std::max(r, r0 + t * (r1 - r0));
    }
  };
  for (const SectionStretch& s : cut.stretches) {
    draw(s.point[0], s.point[1]);
    draw(s.point[1], s.point[2]);
  }
  return profile;
}

struct Node {
  double r = 0.0;
  double h = 0.0;
};

class String {
 public:
  String(std::vector<Profile> profiles, Vec3 centre, Vec3 axis)
      : profiles_(std::move(profiles)), centre_(centre), axis_(axis), nodes_(profiles_.size()) {
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      const Profile& p = profiles_[i];
      nodes_[i] = p.held ? Node{p.held_r, p.held_h} : Node{p.at(0.0), 0.0};
    }
  }

  // One pass over every `stride`-th half-plane and all held ones; the largest motion along the axis.
  double sweep(std::size_t stride) {
    double moved = 0.0;
    std::vector<std::size_t> used;
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      if (i % stride == 0 || profiles_[i].held) used.push_back(i);
    }
    for (std::size_t k = 0; k < used.size(); ++k) {
      if (profiles_[used[k]].held) continue;
      const Vec3 before = point(used[(k + used.size() - 1) % used.size()]);
      const Vec3 after = point(used[(k + 1) % used.size()]);
      moved = std::max(moved, relax(used[k], before, after));
    }
    return moved;
  }

  // Nodes left out by a coarse pass take their place between their neighbours that were in it.
  void spread(std::size_t coarse) {
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      if (i % coarse == 0 || profiles_[i].held) continue;
      const std::size_t a = i / coarse * coarse;
      const std::size_t b = (a + coarse) % nodes_.size();
      const double t = static_cast<double>(i - a) / static_cast<double>(coarse);
      nodes_[i].h = (1.0 - t) * nodes_[a].h + t * nodes_[b].h;
      nodes_[i].r = profiles_[i].at(nodes_[i].h);
    }
  }

  [[nodiscard]] Vec3 point(std::size_t i) const {
    return centre_ + nodes_[i].r * profiles_[i].outward + nodes_[i].h * axis_;
  }
  [[nodiscard]] const std::vector<Node>& nodes() const { return nodes_; }

 private:
  double relax(std::size_t i, Vec3 before, Vec3 after) {
    const Profile& profile = profiles_[i];
    Node& node = nodes_[i];
    // Where the straight line between the neighbours passes the half-plane.
    const Vec3 side = cross(axis_, profile.outward);
    const double s0 = dot(before - centre_, side);
    const double s1 = dot(after - centre_, side);
    const double t = s0 / (s0 - s1);
    const Vec3 straight = lerp(before, after, t) - centre_;
    const double h = dot(straight, axis_);
    const double r = dot(straight, profile.outward);
    const double old = node.h;
    if (r >= profile.at(h)) {
      node = {r, h};
      return std::abs(h - old);
    }
    const auto length = [&](double at) {
      const Vec3 p = centre_ + profile.at(at) * profile.outward + at * axis_;
      return distance(before, p) + distance(p, after);
    };
    // Parabola through three lengths; the profile's cells make wider steps safer than finer ones.
    constexpr double kStep = 0.5;
    const double l0 = length(old - kStep);
    const double l1 = length(old);
    const double l2 = length(old + kStep);
    const double bend = l0 - 2.0 * l1 + l2;
    double step = bend > 1e-12 ? 0.5 * kStep * (l0 - l2) / bend : (l0 < l2 ? -kStep : kStep);
    step = std::clamp(1.6 * step, -2.0, 2.0);  // over-relaxed: neighbours will follow
    node.h = std::clamp(old + step, profile.low + 1.0, -profile.low - 1.0);
    node.r = profile.at(node.h);
    return std::abs(node.h - old);
  }

  std::vector<Profile> profiles_;
  Vec3 centre_;
  Vec3 axis_;
  std::vector<Node> nodes_;
};

}  // namespace

Result<TautString> taut_string(const Form& form, const Plane3& plane, const std::vector<Vec3>& held,
                               const TautStringOptions& options) {
  const Section section = cut_section(form, plane);
  const Tape tape = tape_of(section);
  if (tape.hull.size() < 3)
    return Problem{Trouble::kGeometry, "the string's plane misses the form", {}, {}, {}};
  Vec3 centre;
  for (std::size_t i : tape.hull) centre += section.points[i].p / static_cast<double>(tape.hull.size());

  std::vector<double> angles;
  for (int i = 0; i < options.half_planes; ++i)
    angles.push_back(2.0 * std::numbers::pi * i / options.half_planes);
  std::vector<Profile> profiles;
  for (double angle : angles) profiles.push_back(profile_of(form, plane, centre, angle, options.reach));
  for (const Vec3& p : held) {
    // A held point takes over the nearest half-plane, turned to pass through it.
    const Vec3 q = p - centre;
    double angle = std::atan2(dot(q, plane.e2), dot(q, plane.e1));
    if (angle < 0.0) angle += 2.0 * std::numbers::pi;
    const auto i =
        static_cast<std::size_t>(std::lround(angle / (2.0 * std::numbers::pi) * options.half_planes)) %
        profiles.size();
    profiles[i].outward = std::cos(angle) * plane.e1 + std::sin(angle) * plane.e2;
    profiles[i].held = true;
    profiles[i].held_h = dot(q, plane.normal);
    profiles[i].held_r = dot(q, profiles[i].outward);
  }
  String string(std::move(profiles), centre, plane.normal);
  double moved = 0.0;
  for (std::size_t stride = 16; stride >= 1; stride /= 2) {
    for (int pass = 0; pass < options.sweeps; ++pass) {
      moved = string.sweep(stride);
      if (moved < options.settled * static_cast<double>(stride)) break;
    }
    if (stride > 1) string.spread(stride);
  }
  if (!(moved < 1e-3)) {
    return Problem{Trouble::kGeometry,
                   "the string does not settle: it slips off the form or hangs in a hollow",
                   {},
                   moved,
                   1e-3};
  }
  TautString result;
  const std::size_t n = string.nodes().size();
  for (std::size_t i = 0; i < n; ++i) {
    result.points.push_back(string.point(i));
    result.length += distance(string.point(i), string.point((i + 1) % n));
    result.off_plane = std::max(result.off_plane, std::abs(string.nodes()[i].h));
  }
  if (result.off_plane > options.reach - 2.0) {
    return Problem{Trouble::kGeometry,
                   "the string leaves its plane by more than the reach",
                   {},
                   result.off_plane,
                   options.reach};
  }
  return result;
}

}  // namespace lastwright
