#include "grading/lasts/scan_fit.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Dense>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <bit>
#include <cmath>

#include "geometry/middle_value.hpp"
#include "geometry/solid/mesh_tree.hpp"
#include "geometry/solid/surface_foot.hpp"

namespace lastwright {

namespace {

// A last some sizes off still lies within this of its nominal, root mean square, mm; a wrong pose does not.
constexpr double kLies = 6.0;

struct Frame {
  Vec3 centre;
  std::array<Vec3, 3> axes;
};

Frame principal(const std::vector<Vec3>& points) {
  Frame frame;
  for (const Vec3& p : points) frame.centre += p / static_cast<double>(points.size());
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  for (const Vec3& p : points) {
    const Eigen::Vector3d d(p.x - frame.centre.x, p.y - frame.centre.y, p.z - frame.centre.z);
    m += d * d.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(m);
  for (int k = 0; k < 3; ++k) {
    const Eigen::Vector3d v = solver.eigenvectors().col(2 - k);
    frame.axes[static_cast<std::size_t>(k)] = {v.x(), v.y(), v.z()};
  }
  frame.axes[2] = cross(frame.axes[0], frame.axes[1]);
  return frame;
}

// Points spread evenly over the triangles, so that dense and coarse meshes weigh alike.
std::vector<Vec3> spread_over(const Body& body) {
  std::vector<Vec3> points;
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 a = body.mesh.nodes[t.node[0]].point;
    const Vec3 b = body.mesh.nodes[t.node[1]].point;
    const Vec3 c = body.mesh.nodes[t.node[2]].point;
    const int copies = std::clamp(static_cast<int>(norm(cross(b - a, c - a)) / 4.0), 1, 50);
    for (int i = 0; i < copies; ++i) points.push_back((a + b + c) / 3.0);
  }
  return points;
}

Motion after(const Motion& first, const Motion& next) {
  Motion both;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec3 r = next.rows[i];
    both.rows[i] = r.x * first.rows[0] + r.y * first.rows[1] + r.z * first.rows[2];
  }
  both.shift = next(first.shift);
  return both;
}

// Small turn w about the origin and shift t, as an exact rotation.
Motion small_motion(Vec3 w, Vec3 t) {
  const double a = norm(w);
  const Vec3 k = a > 0 ? w / a : Vec3{0, 0, 1};
  const double c = std::cos(a);
  const double s = std::sin(a);
  const auto turned = [&](Vec3 p) { return c * p + s * cross(k, p) + (1 - c) * dot(k, p) * k; };
  const Vec3 x = turned({1, 0, 0});
  const Vec3 y = turned({0, 1, 0});
  const Vec3 z = turned({0, 0, 1});
  return {{Vec3{x.x, y.x, z.x}, Vec3{x.y, y.y, z.y}, Vec3{x.z, y.z, z.z}}, t};
}

// Which of the points before is the same to the last bit: what is filled in along a side stands twice, once
// for each of its triangles.
class Twins {
 public:
  explicit Twins(const std::vector<Vec3>& points) : points_(&points) {
    std::size_t slots = 16;
    while (slots < 2 * points.size()) slots *= 2;
    slots_.assign(slots, kFree);
  }
  // Of the point at i, to be asked in the points' order; i itself where it is the first of its kind.
  std::size_t first_like(std::size_t i) {
    const Vec3& p = (*points_)[i];
    std::uint64_t hash = 0;
    for (const double c : {p.x, p.y, p.z}) {
      hash = (hash ^ std::bit_cast<std::uint64_t>(c)) * 0x9E3779B97F4A7C15u;
      hash ^= hash >> 32;
    }
    for (std::size_t at = hash & (slots_.size() - 1);; at = (at + 1) & (slots_.size() - 1)) {
      if (slots_[at] == kFree) {
        slots_[at] = i;
        return i;
      }
      if ((*points_)[slots_[at]] == p) return slots_[at];
    }
  }

 private:
  static constexpr std::size_t kFree = SIZE_MAX;
  const std::vector<Vec3>* points_;
  std::vector<std::size_t> slots_;
};

struct ScanFoot {
  Vec3 p;
  Vec3 normal;
  int face = 0;
};

// The foot of p on the exact surface, from the mesh's guess. `place`: where in the tree a point close by had
// its own, and then where this one has it.
ScanFoot foot_of(const Body& body, const MeshTree& tree, Vec3 p, std::uint32_t& place) {
  const MeshTree::Nearest near = tree.nearest(p, place);
  place = near.place;
  SurfaceSpot spot = near.spot;
  if (body.facets) {
    const SurfacePoint s = body.at(spot);
    return {s.p, unit(cross(s.du, s.dv)), spot.face};
  }
  const BSplineSurface& surface = body.faces[static_cast<std::size_t>(spot.face)].surface;
  // Near a trimmed edge the foot must not wander off the face: no farther than the mesh is coarse.
  spot = foot_near(surface, spot, p, {.steps = 2, .settled = 0.0, .longest = 1.0, .level = 1e-14});
  const SurfacePoint s = surface.at(spot.u, spot.v);
  const Vec3 n = unit(cross(s.du, s.dv));
  return {s.p, body.faces[static_cast<std::size_t>(spot.face)].outward ? n : -n, spot.face};
}

// Marks the residuals that are no part of the form's surface. `facing`: cosine between the scan's normal and
// the form's, 0 where it is not known; `away`: how far the point is from its foot.
void leave_out_apart(ScanFit& fit, const std::vector<double>& facing, const std::vector<double>& away) {
  constexpr double kElsewhere = 0.5;  // cosine of 60 degrees: beyond any slope of a bump that is made
  constexpr double kNear = 0.3;       // mm: nearer points move no mean, and noise turns their normals
  const double others = kBeyondOthers * middle_value(away);
  fit.beyond = std::max(kBeyondForm, others);
  const double near = std::max(kNear, others);
  double sense = 0.0;  // a mesh may be inside out
  for (std::size_t i = 0; i < facing.size(); ++i) {
    if (away[i] <= near) sense += facing[i];
  }
  double sum = 0.0;
  std::size_t on = 0;
  for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
    Residual& r = fit.residuals[i];
    const double cosine = facing.empty() || facing[i] == 0.0 ? 1.0 : sense < 0.0 ? -facing[i] : facing[i];
    r.apart = away[i] > fit.beyond || (cosine < kElsewhere && away[i] > near);
    if (r.apart) continue;
    sum += r.off * r.off;
    ++on;
  }
  const auto all = static_cast<double>(fit.residuals.size());
  fit.rms = std::sqrt(sum / static_cast<double>(std::max<std::size_t>(on, 1)));
  fit.left_out = 1.0 - static_cast<double>(on) / all;
}

double register_points(const Body& body, const MeshTree& tree, const std::vector<Vec3>& points, Motion& pose,
                       int rounds, double settled) {
  double rms = 0.0;
  std::vector<std::uint32_t> places(points.size(), MeshTree::kNowhere);
  std::vector<std::pair<ScanFoot, Vec3>> pairs;
  pairs.reserve(points.size());
  std::vector<double> offs;
  offs.reserve(points.size());
  for (int round = 0; round < rounds; ++round) {
    Eigen::Matrix<double, 6, 6> normal = Eigen::Matrix<double, 6, 6>::Zero();
    Eigen::Matrix<double, 6, 1> right = Eigen::Matrix<double, 6, 1>::Zero();
    pairs.clear();
    double sum = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Vec3 p = pose(points[i]);
      const ScanFoot foot = foot_of(body, tree, p, places[i]);
      sum += dot(p - foot.p, p - foot.p);
      pairs.emplace_back(foot, p);
    }
    rms = std::sqrt(sum / static_cast<double>(points.size()));
    // Outliers: walls of a cut, dirt, a stand, a label. By the middle distance, which they do not move.
    offs.clear();
    for (const auto& [foot, p] : pairs) offs.push_back(std::abs(dot(p - foot.p, foot.normal)));
    const double far = std::max(kBeyondOthers * middle_value(offs), 0.05);
    for (const auto& [foot, p] : pairs) {
      const double off = dot(p - foot.p, foot.normal);
      if (std::abs(off) > far || foot.normal == Vec3{}) continue;
      const Vec3 arm = cross(p, foot.normal);
      Eigen::Matrix<double, 6, 1> row;
      row << arm.x, arm.y, arm.z, foot.normal.x, foot.normal.y, foot.normal.z;
      normal += row * row.transpose();
      right -= row * off;
    }
    const Eigen::Matrix<double, 6, 1> step = normal.ldlt().solve(right);
    if (!step.allFinite()) break;
    const Vec3 turn{step[0], step[1], step[2]};
    const Vec3 shift{step[3], step[4], step[5]};
    pose = after(pose, small_motion(turn, shift));
    if (norm(turn) * 300.0 + norm(shift) < settled) break;
  }
  return rms;
}

}  // namespace

std::vector<Vec3> surface_points(const Body& body, double spacing, std::vector<Vec3>* normals) {
  std::vector<Vec3> points;
  for (const MeshNode& n : body.mesh.nodes) points.push_back(n.point);
  if (normals) normals->assign(points.size(), {});
  for (const Triangle& t : body.mesh.triangles) {
    const MeshNode& a = body.mesh.nodes[t.node[0]];
    const MeshNode& b = body.mesh.nodes[t.node[1]];
    const MeshNode& c = body.mesh.nodes[t.node[2]];
    const double side =
        std::max({distance(a.point, b.point), distance(b.point, c.point), distance(c.point, a.point)});
    const int parts = std::clamp(static_cast<int>(std::ceil(side / spacing)), 1, 200);
    for (int i = 0; i < parts; ++i) {
      for (int j = 0; i + j < parts; ++j) {
        // Inside the triangle, not on its sides: two triangles share those.
        const double x = (i + 1.0 / 3.0) / parts;
        const double y = (j + 1.0 / 3.0) / parts;
        const double z = 1.0 - x - y;
        const SurfaceSpot spot{t.face, x * a.u + y * b.u + z * c.u, x * a.v + y * b.v + z * c.v};
        points.push_back(body.at(spot).p);
        if (normals) normals->push_back(body.normal_at(spot));
      }
    }
  }
  return points;
}

double longest_axis(const std::vector<Vec3>& points) {
  const Frame frame = principal(points);
  double low = 1e300;
  double high = -1e300;
  for (const Vec3& p : points) {
    const double along = dot(p - frame.centre, frame.axes[0]);
    low = std::min(low, along);
    high = std::max(high, along);
  }
  return high - low;
}

Problem not_as_long(double scan, double form) {
  return {Trouble::kBadValue,
          "the length of the scan is far from that of the last (mm): is its unit right, and is it whole?",
          {},
          scan,
          form};
}

Result<ScanFit> fit_scan(const Body& nominal, const std::vector<Vec3>& scan, const ScanFitOptions& options) {
  const std::size_t own = std::min(options.own, scan.size());
  if (scan.size() < 200) {
    return Problem{
        Trouble::kBadValue, "the scan has too few points", {}, static_cast<double>(scan.size()), 200.0};
  }
  const MeshTree tree(nominal);
  const auto thinned = [&](std::size_t count) {
    std::vector<Vec3> points;
    const std::size_t kept = std::min(count, scan.size());
    for (std::size_t i = 0; i < kept; ++i) points.push_back(scan[i * scan.size() / kept]);
    return points;
  };
  const Frame to = principal(spread_over(nominal));
  const Frame from = principal(scan);
  ScanFit fit;
  fit.rms = 1e300;
  const std::vector<Vec3> few = thinned(300);
  // A last is about as high as it is wide, so only the long
  // axis is sure: both its senses, and eight turns about it.
  for (int start = 0; start < 16; ++start) {
    const int eighths = start / 2;
    const double turn = 0.25 * 3.141592653589793 * eighths;
    const double sense = start % 2 == 0 ? 1.0 : -1.0;
    std::array<Vec3, 3> axes;
    axes[0] = sense * from.axes[0];
    axes[1] = std::cos(turn) * from.axes[1] + std::sin(turn) * from.axes[2];
    axes[2] = cross(axes[0], axes[1]);
    Motion pose;
    const auto row = [&](double Vec3::*c) {
      return to.axes[0].*c * axes[0] + to.axes[1].*c * axes[1] + to.axes[2].*c * axes[2];
    };
    pose.rows = {row(&Vec3::x), row(&Vec3::y), row(&Vec3::z)};
    pose.shift = to.centre - pose.turned(from.centre);
    const double rms = register_points(nominal, tree, few, pose, 25, 1e-3);
    if (rms < fit.rms) {
      fit.rms = rms;
      fit.pose = pose;
    }
  }
  if (!(fit.rms < kLies)) {
    // Sizes tell more than the distance, which of a diverged search means nothing.
    const double long_scan = longest_axis(scan);
    const double long_last = longest_axis(spread_over(nominal));
    if (std::abs(long_scan - long_last) > 0.25 * long_last) return not_as_long(long_scan, long_last);
    return Problem{Trouble::kBadValue,
                   "the scan does not lie on the last in any pose: is it this last? (root mean square, mm)",
                   {},
                   fit.rms,
                   kLies};
  }
  fit.rms = register_points(nominal, tree, thinned(static_cast<std::size_t>(options.points)), fit.pose,
                            options.rounds, options.settled);
  fit.residuals.reserve(scan.size());
  std::uint32_t place = MeshTree::kNowhere;  // one after the other they mostly lie close by
  Twins twins(scan);
  const bool faces = options.normals.size() == scan.size();
  std::vector<double> facing;
  std::vector<double> away;
  away.reserve(scan.size());
  std::vector<Vec3> normals;  // of the form
  for (std::size_t i = 0; i < scan.size(); ++i) {
    if (const std::size_t twin = twins.first_like(i); twin != i) {
      Residual same = fit.residuals[twin];
      same.own = i < own;
      fit.residuals.push_back(same);
      away.push_back(away[twin]);
      // A side between a wall and the surface is of both.
      if (faces) facing.push_back(dot(fit.pose.turned(options.normals[i]), normals[twin]));
      if (faces) normals.push_back(normals[twin]);
      continue;
    }
    const Vec3 p = fit.pose(scan[i]);
    const ScanFoot foot = foot_of(nominal, tree, p, place);
    const Vec3 off = p - foot.p;
    // Signed by the side; across an edge the way is longer than the normal part.
    const double along = dot(off, foot.normal);
    fit.residuals.push_back({foot.p, foot.face, along, i < own});
    away.push_back(norm(off));
    if (faces) facing.push_back(dot(fit.pose.turned(options.normals[i]), foot.normal));
    if (faces) normals.push_back(foot.normal);
  }
  leave_out_apart(fit, facing, away);
  return fit;
}

}  // namespace lastwright
