#include "grading/lasts/pose.hpp"

#include <fmt/format.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/bottom_marks.hpp"

namespace lastwright {

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;  // in radians

// What the bottom's middle line is like on lasts, heels of 5 to 85 mm: no table was found; measured on seven
// of invented design, and wide enough for what trade practice allows.
constexpr double kTreadFrom = 0.70;  // the ground is touched between these shares of the length
constexpr double kTreadTo = 0.73;
constexpr double kToeRise = 8.0 * kDegree;  // of the bottom from 85 to 95 % of the length
constexpr double kToeSpread = 2.0 * kDegree;
constexpr double kSeatFall = 0.8 * kDegree;          // of the bottom from 5 to 16 %, on the flat
constexpr double kSeatFallByHeel = 0.035 * kDegree;  // and more for each millimetre of heel
constexpr double kSeatSpread = 2.5 * kDegree;
constexpr double kTreadSpread = 0.015;  // of the length: where the ground is touched
constexpr double kTreadLeast = 0.7 * kDegree;
// The higher a heel, the less two lasts are alike in each of these: seats from level to steep, the ground
// touched farther forward, less toe spring. No table was found; the demo recipe with heels of 20 to 95 mm,
// seats up to 8 degrees steeper and toe springs of 4 to 12 mm stays within two standard deviations (71 of
// 72).
constexpr double kAlikeHeel = 20.0;  // mm: up to here the figures above hold
constexpr double kUnlikeBy = 45.0;   // so many mm higher and lasts differ twice as much

struct Facet {
  Vec3 centre;
  Vec3 area;
};

std::vector<Facet> facets_of(const Mesh& mesh) {
  std::vector<Facet> facets;
  facets.reserve(mesh.triangles.size());
  for (const Triangle& t : mesh.triangles) facets.push_back({centre_of(mesh, t), area_of(mesh, t)});
  return facets;
}

// The principal axes of the surface, longest first.
std::array<Vec3, 3> principal_axes(const std::vector<Facet>& facets) {
  Vec3 mean;
  double total = 0.0;
  for (const Facet& f : facets) {
    mean += norm(f.area) * f.centre;
    total += norm(f.area);
  }
  mean = mean / total;
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  for (const Facet& f : facets) {
    const Eigen::Vector3d d(f.centre.x - mean.x, f.centre.y - mean.y, f.centre.z - mean.z);
    m += norm(f.area) * d * d.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(m);
  std::array<Vec3, 3> axes;
  for (int k = 0; k < 3; ++k) {
    const Eigen::Vector3d v = solver.eigenvectors().col(2 - k);
    axes[static_cast<std::size_t>(k)] = unit(Vec3{v.x(), v.y(), v.z()});
  }
  axes[2] = cross(axes[0], axes[1]);
  return axes;
}

// Directions square to the long axis into which much of the surface looks: a bottom is flat across, walls and
// ridge are round. Largest first.
std::vector<Vec3> flat_sides(const std::vector<Facet>& facets, const std::array<Vec3, 3>& axes) {
  constexpr int kBins = 120;
  constexpr int kHalfWindow = 4;  // of 3 degrees each
  std::array<double, kBins> looks{};
  for (const Facet& f : facets) {
    const double a = dot(f.area, axes[1]);
    const double b = dot(f.area, axes[2]);
    const double turn = std::atan2(b, a) / (2.0 * std::numbers::pi) + 1.0;
    looks[static_cast<std::size_t>(turn * kBins) % kBins] += std::hypot(a, b);
  }
  std::array<double, kBins> window{};
  for (int i = 0; i < kBins; ++i) {
    for (int k = -kHalfWindow; k <= kHalfWindow; ++k)
      window[static_cast<std::size_t>(i)] += looks[static_cast<std::size_t>((i + k + kBins) % kBins)];
  }
  std::vector<Vec3> sides;
  double most = 0.0;
  for (int found = 0; found < 4; ++found) {
    const auto peak = std::max_element(window.begin(), window.end());
    if (found > 0 && *peak < 0.45 * most) break;
    most = std::max(most, *peak);
    const int at = static_cast<int>(peak - window.begin());
    const double angle = 2.0 * std::numbers::pi * (at + 0.5) / kBins;
    sides.push_back(std::cos(angle) * axes[1] + std::sin(angle) * axes[2]);
    for (int k = -14; k <= 14; ++k) window[static_cast<std::size_t>((at + k + kBins) % kBins)] = 0.0;
  }
  return sides;
}

struct Extent {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  void add(double t) {
    low = std::min(low, t);
    high = std::max(high, t);
  }
  [[nodiscard]] double size() const { return high - low; }
};

Extent extent_of(const Mesh& mesh, Vec3 along) {
  Extent e;
  for (const MeshNode& n : mesh.nodes) e.add(dot(along, n.point));
  return e;
}

// The mesh cut by the plane through a point, square to `left`, in the axes' x and z.
std::vector<ProfilePiece> cut_along(const Mesh& mesh, const LastAxes& axes, Vec3 through) {
  std::vector<ProfilePiece> pieces;
  const double offset = dot(axes.left, through);
  for (const Triangle& t : mesh.triangles) {
    std::array<Vec3, 2> ends;
    std::size_t n = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 a = mesh.nodes[t.node[k]].point;
      const Vec3 b = mesh.nodes[t.node[(k + 1) % 3]].point;
      const double ha = dot(axes.left, a) - offset;
      const double hb = dot(axes.left, b) - offset;
      if ((ha > 0.0) == (hb > 0.0) || n == 2) continue;
      ends[n++] = lerp(a, b, ha / (ha - hb));
    }
    if (n == 2) {
      pieces.push_back(
          {dot(axes.ahead, ends[0]), dot(axes.up, ends[0]), dot(axes.ahead, ends[1]), dot(axes.up, ends[1])});
    }
  }
  return pieces;
}

// The heights of a section at a station: lowest and highest.
Extent heights_at(const std::vector<ProfilePiece>& section, double x) {
  Extent e;
  for (const ProfilePiece& p : section) {
    if (std::min(p.x0, p.x1) > x || std::max(p.x0, p.x1) < x) continue;
    e.add(p.x0 == p.x1 ? std::min(p.z0, p.z1) : p.z0 + (x - p.x0) / (p.x1 - p.x0) * (p.z1 - p.z0));
  }
  return e;
}

Vec3 tip_of(const Mesh& mesh, Vec3 along) {
  Vec3 best = mesh.nodes.front().point;
  for (const MeshNode& n : mesh.nodes) {
    if (dot(along, n.point) > dot(along, best)) best = n.point;
  }
  return best;
}

LastAxes tilted(const LastAxes& axes, double turn) {
  return {std::cos(turn) * axes.ahead + std::sin(turn) * axes.up, axes.left,
          -std::sin(turn) * axes.ahead + std::cos(turn) * axes.up};
}

struct Directions {
  Vec3 bottom;  // unit normals; zero: none
  Vec3 top;
  double bottom_share = 0.0;  // of the whole surface
  double bottom_bend = 0.0;   // root mean square of how far the bottom looks aside, radians
};
Directions directions_of(const std::vector<Facet>& facets, const std::vector<int>& marks, Vec3 left) {
  Directions d;
  double total = 0.0;
  double bottom = 0.0;
  for (std::size_t i = 0; i < facets.size(); ++i) {
    total += norm(facets[i].area);
    if (marks[i] == 1) {
      d.bottom += facets[i].area;
      bottom += norm(facets[i].area);
      const double aside = std::asin(std::clamp(dot(unit(facets[i].area), left), -1.0, 1.0));
      d.bottom_bend += norm(facets[i].area) * aside * aside;
    } else if (marks[i] == 2) {
      d.top += facets[i].area;
    }
  }
  d.bottom = unit(d.bottom);
  d.top = unit(d.top);
  d.bottom_share = bottom / total;
  d.bottom_bend = bottom > 0.0 ? std::sqrt(d.bottom_bend / bottom) : 0.0;
  return d;
}

void judge_shape(const Mesh& mesh, const std::vector<ProfilePiece>& middle, const Directions& d,
                 PoseGuess& guess) {
  const Extent x = extent_of(mesh, guess.axes.ahead);
  const Extent y = extent_of(mesh, guess.axes.left);
  const Extent z = extent_of(mesh, guess.axes.up);
  const auto against = [&guess](double by, std::string what) {
    guess.mismatch += by;
    if (guess.unlike.empty()) guess.unlike = std::move(what);
  };
  const double slender = x.size() / y.size();
  if (!(slender > 2.0 && slender < 5.0)) {
    against(10.0 * kNoLast,
            fmt::format("its length should be 2 to 5 times its width, not {:.1f} times", slender));
  }
  const auto top_at = [&](double from, double to) {
    double high = -1e300;
    for (int i = 0; i <= 8; ++i)
      high = std::max(high, heights_at(middle, x.low + (from + (to - from) * i / 8.0) * x.size()).high);
    return high - z.low;
  };
  const double tapers = top_at(0.82, 0.90) / top_at(0.05, 0.40);
  if (!(tapers < 0.75)) {
    against(10.0 * kNoLast,
            fmt::format("towards the toe it should be far lower than over the heel, not {:.0f} %",
                        100.0 * tapers));
  }
  if (!(d.bottom_share > 0.06 && d.bottom_share < 0.5)) {
    against(10.0 * kNoLast, fmt::format("its bottom should be a tenth to half of its surface, not {:.0f} %",
                                        100.0 * d.bottom_share));
  }
  // Across, a bottom is flatter than the walls and the ridge of a last.
  guess.mismatch += std::max(0.0, d.bottom_bend - 10.0 * kDegree) / (3.0 * kDegree);
}

PoseGuess refined(const Body& body, const std::vector<Facet>& facets, LastAxes axes) {
  PoseGuess guess;
  PitchSigns signs;
  std::vector<ProfilePiece> middle;
  Directions d;
  for (int round = 0; round < 6; ++round) {
    d = directions_of(facets, mark_bottom(body, axes), axes.left);
    const Vec3 heel = tip_of(body.mesh, -axes.ahead);
    const Vec3 toe = tip_of(body.mesh, axes.ahead);
    const Vec3 left = across_of(d.bottom, d.top, unit(toe - heel), axes.left);
    axes.left = left;
    axes.up = unit(axes.up - dot(axes.up, left) * left);
    axes.ahead = cross(axes.left, axes.up);
    const Extent x = extent_of(body.mesh, axes.ahead);
    middle = cut_along(body.mesh, axes, 0.5 * (heel + toe));
    signs = pitch_signs(middle, x.low, x.high);
    if (!std::isfinite(signs.doubt)) break;
    axes = tilted(axes, signs.turn);
    if (round > 1 && std::abs(signs.turn) < 1e-3) break;
  }
  guess.axes = axes;
  if (!std::isfinite(signs.doubt)) {
    guess.mismatch = 20.0 * kNoLast;
    guess.unlike = "its bottom should run from heel to toe";
    return guess;
  }
  guess.doubt = signs.doubt;
  guess.mismatch = signs.apart;
  judge_shape(body.mesh, middle, d, guess);
  if (guess.mismatch >= kNoLast && guess.unlike.empty()) {
    guess.unlike =
        "no side of it runs as a bottom does, on the ground at the tread, rising to the toe, level at the "
        "seat and "
        "flat across";
  }
  return guess;
}

}  // namespace

Vec3 across_of(Vec3 bottom, Vec3 top, Vec3 heel_to_toe, Vec3 near) {
  constexpr double kFaces = 0.33 * kDegree;
  constexpr double kWay = 2.0 * kDegree;  // farther apart than this they are two ways to stand
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  const auto square_to = [&m](Vec3 v, double within) {
    const Eigen::Vector3d e(v.x, v.y, v.z);
    m += e * e.transpose() / (within * within);
  };
  square_to(bottom, kFaces);
  square_to(top, kFaces);
  square_to(unit(heel_to_toe), kWay);
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(m);
  const Eigen::Vector3d v = solver.eigenvectors().col(0);
  const Vec3 left = unit(Vec3{v.x(), v.y(), v.z()});
  return dot(left, near) < 0.0 ? -left : left;
}

PitchSigns pitch_signs(const std::vector<ProfilePiece>& section, double heel_x, double toe_x) {
  PitchSigns signs;
  signs.doubt = std::numeric_limits<double>::infinity();
  const double length = toe_x - heel_x;
  const auto low = [&](double share) { return heights_at(section, heel_x + share * length).low; };
  const auto slope = [&](double from, double to) {
    return std::atan((low(to) - low(from)) / ((to - from) * length));
  };
  const double seat = slope(0.05, 0.16);
  const double toe = slope(0.85, 0.95);
  const double tread = slope(kTreadFrom, kTreadTo);
  // How much the bottom bends there: the touch wanders by this much of an angle for each share of the length.
  const double bend = std::max(0.0, slope(0.715, 0.76) - slope(0.67, 0.715)) / 0.045;
  if (!std::isfinite(seat) || !std::isfinite(toe) || !std::isfinite(tread) || !std::isfinite(bend)) {
    return signs;
  }
  const double heel = std::max(0.0, low(0.10) - low(0.715));
  const std::array<double, 3> turn{tread, toe - kToeRise, seat + kSeatFall + kSeatFallByHeel * heel};
  const std::array<double, 3> spread{std::max(kTreadLeast, kTreadSpread * bend), kToeSpread, kSeatSpread};
  double weights = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    const double w = 1.0 / (spread[i] * spread[i]);
    signs.turn += w * turn[i];
    weights += w;
  }
  signs.turn /= weights;
  double square = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    const double off = (turn[i] - signs.turn) / spread[i];
    square += off * off / 2.0;
  }
  signs.apart = std::sqrt(square);
  const double unlike = 1.0 + std::max(0.0, heel - kAlikeHeel) / kUnlikeBy;
  signs.doubt = std::max(unlike, signs.apart) / std::sqrt(weights);
  return signs;
}

Result<std::vector<PoseGuess>> guess_poses(const Body& body) {
  if (body.mesh.triangles.empty())
    return Problem{Trouble::kGeometry, "the form has no triangles", {}, {}, {}};
  const std::vector<Facet> facets = facets_of(body.mesh);
  const std::array<Vec3, 3> axes = principal_axes(facets);
  std::vector<PoseGuess> guesses;
  for (const Vec3& side : flat_sides(facets, axes)) {
    for (const double sense : {1.0, -1.0}) {
      LastAxes start;
      start.up = -side;
      start.ahead = sense * axes[0];
      start.left = cross(start.up, start.ahead);
      guesses.push_back(refined(body, facets, start));
    }
  }
  std::stable_sort(guesses.begin(), guesses.end(),
                   [](const PoseGuess& a, const PoseGuess& b) { return a.mismatch < b.mismatch; });
  if (guesses.empty()) return Problem{Trouble::kGeometry, "the form has no flat bottom", {}, {}, {}};
  return guesses;
}

}  // namespace lastwright
