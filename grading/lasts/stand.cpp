#include "grading/lasts/stand.hpp"

#include <fmt/format.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr double kFileAxes = 0.94;  // cosine of 20 degrees
constexpr double kToeOfHeel =
    0.75;  // of the height over the heel at most stands at the toe; lasts have about 0.4

struct Sample {
  Vec3 p;
  Vec3 area;  // outward
};

std::vector<Sample> samples_of(const Body& body) {
  std::vector<Sample> samples;
  const auto& nodes = body.mesh.nodes;
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 a = nodes[t.node[0]].point;
    const Vec3 b = nodes[t.node[1]].point;
    const Vec3 c = nodes[t.node[2]].point;
    samples.push_back({(a + b + c) / 3.0, 0.5 * cross(b - a, c - a)});
  }
  return samples;
}

// Principal axes of the surface, longest first; the file's own axes where they fit.
std::array<Vec3, 3> axes_of(const std::vector<Sample>& samples, bool& from_file) {
  Vec3 mean;
  double total = 0.0;
  for (const Sample& s : samples) {
    mean += norm(s.area) * s.p;
    total += norm(s.area);
  }
  mean = mean / total;
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  for (const Sample& s : samples) {
    const Eigen::Vector3d d(s.p.x - mean.x, s.p.y - mean.y, s.p.z - mean.z);
    m += norm(s.area) * d * d.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(m);
  std::array<Vec3, 3> axes;
  for (int k = 0; k < 3; ++k) {
    const Eigen::Vector3d v = solver.eigenvectors().col(2 - k);
    axes[static_cast<std::size_t>(k)] = {v.x(), v.y(), v.z()};
  }
  // Only the long axis must fit: height and width of a last are alike, so that its second axis is loose.
  const std::array<Vec3, 3> file{Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}};
  for (std::size_t k = 0; k < 3; ++k) {
    if (std::abs(dot(axes[0], file[k])) >= kFileAxes) {
      from_file = true;
      return {file[k], file[(k + 1) % 3], file[(k + 2) % 3]};
    }
  }
  from_file = false;
  return axes;
}

double area_facing(const std::vector<Sample>& samples, Vec3 way) {
  double sum = 0.0;
  for (const Sample& s : samples) {
    const double along = dot(s.area, way);
    if (along > 0.9 * norm(s.area)) sum += along;
  }
  return sum;
}

void apply(Body& body, Motion& total, const Motion& next) {
  move(body, next);
  Motion both;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec3 r = next.rows[i];
    both.rows[i] = r.x * total.rows[0] + r.y * total.rows[1] + r.z * total.rows[2];
  }
  both.shift = next(total.shift);
  total = both;
}

struct Heights {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
};
// Of the mesh between two stations: of its sides, cut off there. A plain form has no nodes in between.
Heights heights(const Body& body, double from, double to) {
  Heights h;
  for (const MeshSide& side : body.mesh.sides) {
    const Vec3 a = body.mesh.nodes[side.a].point;
    const Vec3 b = body.mesh.nodes[side.b].point;
    if (std::max(a.x, b.x) < from || std::min(a.x, b.x) > to) continue;
    for (double x : {std::clamp(a.x, from, to), std::clamp(b.x, from, to)}) {
      const double z = a.x == b.x ? a.z : a.z + (x - a.x) / (b.x - a.x) * (b.z - a.z);
      h.low = std::min(h.low, z);
      h.high = std::max(h.high, z);
    }
  }
  return h;
}

void set_ground(Body& body, Standing& s, const StandOptions& options, bool pitch_known) {
  if (options.heel_height || !pitch_known) {
    const double wanted = options.heel_height.value_or(0.0);
    for (int i = 0; i < 20; ++i) {
      const double seat = heights(body, 0.10 * s.length, 0.20 * s.length).low;
      const double tread = heights(body, 0.55 * s.length, 0.80 * s.length).low;
      const double turn = std::atan2(wanted - (seat - tread), 0.5 * s.length);
      if (std::abs(turn) < 1e-7) break;
      Motion tilt;
      tilt.rows = {Vec3{std::cos(turn), 0, std::sin(turn)}, Vec3{0, 1, 0},
                   Vec3{-std::sin(turn), 0, std::cos(turn)}};
      apply(body, s.motion, tilt);
    }
    if (!options.heel_height) {
      body.notes.emplace_back(
          "the file's axes do not tell how the last stands; it was laid on seat and tread");
    }
  }
  Motion down;
  down.shift = {0, 0, -heights(body, 0.55 * s.length, 0.80 * s.length).low};
  apply(body, s.motion, down);
}

// Turns the heading until heel point and toe point lie on the x axis.
void set_heading(Body& body, Standing& s) {
  for (int i = 0; i < 12; ++i) {
    s.heel = farthest(body, {-1, 0, 0});
    s.toe = farthest(body, {1, 0, 0});
    const Vec3 h = body.at(s.heel).p;
    const Vec3 t = body.at(s.toe).p;
    const double turn = std::atan2(t.y - h.y, t.x - h.x);
    Motion m;
    m.rows = {Vec3{std::cos(turn), std::sin(turn), 0}, Vec3{-std::sin(turn), std::cos(turn), 0},
              Vec3{0, 0, 1}};
    m.shift = -m.turned(h);
    m.shift.z = 0.0;
    apply(body, s.motion, m);
    s.length = body.at(s.toe).p.x;
    if (std::abs(turn) < 1e-10) break;
  }
}

// A compass search from a spot: it climbs along the rims of a surface as well as inside. The height reached.
double climb(const Body& body, Vec3 along, SurfaceSpot& here) {
  if (body.facets) return dot(along, body.at(here).p);
  const BSplineSurface& surface = body.faces[static_cast<std::size_t>(here.face)].surface;
  double height = dot(along, surface.point(here.u, here.v));
  double step_u = (surface.u.high() - surface.u.low()) / 64.0;
  double step_v = (surface.v.high() - surface.v.low()) / 64.0;
  for (int i = 0; i < 400 && step_u + step_v > 1e-9 * (surface.u.high() - surface.u.low()); ++i) {
    bool climbed = false;
    for (const auto& [du, dv] : {std::pair{1.0, 0.0}, {-1.0, 0.0}, {0.0, 1.0}, {0.0, -1.0}}) {
      const double u = std::clamp(here.u + du * step_u, surface.u.low(), surface.u.high());
      const double v = std::clamp(here.v + dv * step_v, surface.v.low(), surface.v.high());
      const double h = dot(along, surface.point(u, v));
      if (h > height) {
        height = h;
        here.u = u;
        here.v = v;
        climbed = true;
      }
    }
    if (!climbed) {
      step_u *= 0.5;
      step_v *= 0.5;
    }
  }
  return height;
}

void tell_foot(const Body& body, Standing& s) {
  // The inside's tread lies further forward than the outside's.
  double left_y = -1e9;
  double right_y = 1e9;
  double left_x = 0.0;
  double right_x = 0.0;
  for (const MeshNode& n : body.mesh.nodes) {
    if (n.point.x < 0.5 * s.length || n.point.x > 0.85 * s.length) continue;
    if (n.point.y > left_y) {
      left_y = n.point.y;
      left_x = n.point.x;
    }
    if (n.point.y < right_y) {
      right_y = n.point.y;
      right_x = n.point.x;
    }
  }
  const double ahead = (right_x - left_x) / s.length;
  s.foot = ahead >= 0.0 ? LastFoot::kLeft : LastFoot::kRight;
  s.foot_doubt = std::clamp(1.0 - std::abs(ahead) / 0.03, 0.0, 1.0);
}

}  // namespace

SurfaceSpot farthest(const Body& body, Vec3 along) {
  // The farthest node of each face: the summit may lie just across an edge from the farthest node of all.
  std::vector<const MeshNode*> best(body.faces.size(), nullptr);
  double top = -std::numeric_limits<double>::infinity();
  for (const MeshNode& n : body.mesh.nodes) {
    const MeshNode*& here = best[static_cast<std::size_t>(n.face)];
    if (!here || dot(along, n.point) > dot(along, here->point)) here = &n;
    top = std::max(top, dot(along, n.point));
  }
  constexpr double kNear = 0.5;  // mm: farther below than this no summit can hide, given the mesh
  SurfaceSpot summit;
  double summit_height = -std::numeric_limits<double>::infinity();
  for (const MeshNode* node : best) {
    if (!node || dot(along, node->point) < top - kNear) continue;
    SurfaceSpot here{node->face, node->u, node->v};
    const double height = climb(body, along, here);
    // Far above the mesh means that it climbed out of the trim: the node itself is then the better answer.
    const bool inside = height - dot(along, node->point) < kNear;
    const double reached = inside ? height : dot(along, node->point);
    if (reached > summit_height) {
      summit_height = reached;
      summit = inside ? here : SurfaceSpot{node->face, node->u, node->v};
    }
  }
  return summit;
}

Result<Standing> stand(Body& body, const StandOptions& options) {
  Standing s;
  std::vector<Sample> samples = samples_of(body);
  if (samples.empty()) return Problem{Trouble::kGeometry, "the form has no triangles", {}, {}, {}};
  bool from_file = false;
  const std::array<Vec3, 3> axes = axes_of(samples, from_file);
  Vec3 up;
  double most = 0.0;
  for (const Vec3& candidate : {axes[1], -axes[1], axes[2], -axes[2]}) {
    const double area = area_facing(samples, -candidate);
    if (area > most) {
      most = area;
      up = candidate;
    }
  }
  if (!(most > 0.0)) return Problem{Trouble::kGeometry, "the form has no flat bottom", {}, {}, {}};
  // The cone stands over the heel: what lies highest tells which end that is.
  Vec3 ahead = axes[0];
  double low_z = 1e300;
  double high_z = -1e300;
  double low_x = 1e300;
  double high_x = -1e300;
  for (const Sample& p : samples) {
    low_z = std::min(low_z, dot(p.p, up));
    high_z = std::max(high_z, dot(p.p, up));
    low_x = std::min(low_x, dot(p.p, ahead));
    high_x = std::max(high_x, dot(p.p, ahead));
  }
  double high_sum = 0.0;
  double weight = 0.0;
  for (const Sample& p : samples) {
    if (dot(p.p, up) < low_z + 0.8 * (high_z - low_z)) continue;
    high_sum += norm(p.area) * dot(p.p, ahead);
    weight += norm(p.area);
  }
  if (high_sum / weight > 0.5 * (low_x + high_x)) ahead = -ahead;
  Motion first;
  first.rows = {ahead, cross(up, ahead), up};
  apply(body, s.motion, first);

  set_heading(body, s);
  double low_y = 1e300;
  double high_y = -1e300;
  for (const MeshNode& n : body.mesh.nodes) {
    low_y = std::min(low_y, n.point.y);
    high_y = std::max(high_y, n.point.y);
  }
  if (!(s.length >= 120.0 && s.length <= 420.0)) {
    return Problem{Trouble::kGeometry,
                   "the form is not as long as a last (120 to 420 mm); are its units right?",
                   {},
                   s.length,
                   {}};
  }
  const double slender = s.length / (high_y - low_y);
  if (!(slender > 2.0 && slender < 5.0)) {
    return Problem{Trouble::kGeometry,
                   "the form is not last-like: its length should be 2 to 5 times its width",
                   {},
                   slender,
                   {}};
  }
  set_ground(body, s, options, from_file);
  set_heading(body, s);
  const double tapers = heights(body, 0.82 * s.length, 0.90 * s.length).high /
                        heights(body, 0.10 * s.length, 0.40 * s.length).high;
  if (!(tapers < kToeOfHeel)) {
    return Problem{Trouble::kGeometry,
                   "the form is not last-like: towards the toe it should be far lower than over the heel",
                   {},
                   tapers,
                   kToeOfHeel};
  }
  find_roles(body);
  if (std::none_of(body.faces.begin(), body.faces.end(),
                   [](const BodyFace& f) { return f.role == FaceRole::kBottom; })) {
    return Problem{Trouble::kGeometry, "no face looks down: a last needs a bottom", {}, {}, {}};
  }
  tell_foot(body, s);
  return s;
}

}  // namespace lastwright
