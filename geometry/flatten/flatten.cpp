#include "geometry/flatten/flatten.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <queue>

namespace lastwright {

namespace {

using Plane = Eigen::Matrix<double, Eigen::Dynamic, 2>;

struct Term {  // one segment of a line: the sum of share * point over its ends' corners
  std::array<std::pair<std::uint32_t, double>, 4> parts{};
  double stiffness = 0.0;
  double rest = 0.0;
  std::size_t line = 0;
};

// How far each point is from a line, along the sides of the triangles: up to a tenth too far, and the same
// wherever a search begins.
class LineDistance {
 public:
  LineDistance(const FlatMesh& mesh, std::size_t points) : next_(points) {
    for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
      const Corners& t = mesh.triangles[n];
      for (std::size_t k = 0; k < 3; ++k) {
        const double l = distance(mesh.shapes[n][k], mesh.shapes[n][(k + 1) % 3]);
        next_[t[k]].emplace_back(t[(k + 1) % 3], l);
        next_[t[(k + 1) % 3]].emplace_back(t[k], l);
      }
    }
  }

  // Infinite beyond `reach`.
  [[nodiscard]] std::vector<double> from(const HeldLine& line, double reach) const {
    std::vector<double> far(next_.size(), std::numeric_limits<double>::infinity());
    using Entry = std::pair<double, std::uint32_t>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    const auto offer = [&](std::uint32_t i, double d) {
      if (d >= far[i] || d > reach) return;
      far[i] = d;
      open.emplace(d, i);
    };
    for (const LinePlace& p : line.places) {
      const double side = p.a == p.b ? 0.0 : side_length(p.a, p.b);
      offer(p.a, p.t * side);
      offer(p.b, (1.0 - p.t) * side);
    }
    while (!open.empty()) {
      const auto [d, i] = open.top();
      open.pop();
      if (d > far[i]) continue;
      for (const auto& [j, l] : next_[i]) offer(j, d + l);
    }
    return far;
  }

 private:
  [[nodiscard]] double side_length(std::uint32_t a, std::uint32_t b) const {
    for (const auto& [j, l] : next_[a]) {
      if (j == b) return l;
    }
    return 0.0;
  }
  std::vector<std::vector<std::pair<std::uint32_t, double>>> next_;
};

// Stiffness of each triangle by its distance from the lines.
std::vector<double> stiffness_of(const FlatMesh& mesh, const std::vector<HeldLine>& lines, std::size_t points,
                                 double band) {
  std::vector<double> result(mesh.triangles.size(), 1.0);
  if (lines.empty()) return result;
  const LineDistance distances(mesh, points);
  for (const HeldLine& line : lines) {
    const std::vector<double> far = distances.from(line, 6.0 * band);
    for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
      const Corners& t = mesh.triangles[n];
      const double off = (far[t[0]] + far[t[1]] + far[t[2]]) / 3.0 / band;
      result[n] = std::max(result[n], 1.0 + (line.stiffness - 1.0) * std::exp(-off * off));
    }
  }
  return result;
}

class RigidSearch {
 public:
  RigidSearch(const FlatMesh& mesh, const std::vector<HeldLine>& lines, std::vector<Vec2> start,
              const FlattenOptions& options)
      : mesh_(mesh), lines_(lines), options_(options), count_(static_cast<Eigen::Index>(start.size())) {
    const std::vector<double> stiff = stiffness_of(mesh, lines, start.size(), options.band);
    for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
      const FlatCorners& q = mesh.shapes[n];
      const double twice = cross(q[1] - q[0], q[2] - q[0]);
      std::array<double, 3> w{};  // of the side from corner k to the next: half its opposite cotangent
      for (std::size_t k = 0; k < 3; ++k) {
        const Vec2 c = q[(k + 2) % 3];
        w[k] = 0.5 * stiff[n] * dot(q[k] - c, q[(k + 1) % 3] - c) / twice;
      }
      sound_ = sound_ && twice > 0.0;
      weights_.push_back(w);
    }
    add_terms();
    points_.resize(count_, 2);
    for (Eigen::Index i = 0; i < count_; ++i) {
      points_(i, 0) = start[static_cast<std::size_t>(i)].x;
      points_(i, 1) = start[static_cast<std::size_t>(i)].y;
    }
    sound_ = sound_ && factorise();
  }

  [[nodiscard]] bool sound() const { return sound_; }

  // Turns until settled; Anderson's mixing of the last steps ("Iterative procedures for nonlinear integral
  // equations", Journal of the ACM 12, 1965) where it lowers the energy.
  bool settle(int& steps) {
    std::deque<Plane> reached;
    std::deque<Plane> lacking;
    Plane here = points_;
    Plane safe = points_;
    double lowest = 1e300;
    bool mixed = false;
    while (steps < options_.steps) {
      ++steps;
      Plane right = Plane::Zero(count_, 2);
      const double energy = local_step(here, right);
      if (mixed && !(energy <= lowest)) {
        here = safe;
        reached.clear();
        lacking.clear();
        mixed = false;
        continue;
      }
      lowest = energy;
      const Plane next = global_step(right);
      const Plane gap = without_rigid(next - here, here);
      if (gap.rowwise().norm().maxCoeff() < options_.settled) {
        points_ = next;
        return true;
      }
      reached.push_back(here + gap);
      lacking.push_back(gap);
      if (reached.size() > kMemory) {
        reached.pop_front();
        lacking.pop_front();
      }
      safe = next;
      mixed = reached.size() > 1;
      here = mixed ? mix(reached, lacking) : next;
    }
    return false;
  }

  // Rest lengths by what the whole lines lack. The largest miss before that, mm.
  double correct() {
    double worst = 0.0;
    std::vector<double> factor;
    const std::vector<Vec2> flat = flat_points();
    for (const HeldLine& line : lines_) {
      const double has = length(smooth_copy(line, flat));
      worst = std::max(worst, std::abs(has - line.length));
      factor.push_back(line.length / has);
    }
    for (Term& term : terms_) term.rest *= factor[term.line];
    return worst;
  }

  [[nodiscard]] std::vector<Vec2> flat_points() const {
    std::vector<Vec2> flat(static_cast<std::size_t>(count_));
    for (Eigen::Index i = 0; i < count_; ++i)
      flat[static_cast<std::size_t>(i)] = {points_(i, 0), points_(i, 1)};
    return flat;
  }

 private:
  static constexpr std::size_t kMemory = 8;  // steps that are mixed

  void add_terms() {
    for (std::size_t l = 0; l < lines_.size(); ++l) {
      const HeldLine& line = lines_[l];
      double whole = 0.0;
      for (double step : line.steps) whole += step;
      for (std::size_t i = 1; i < line.places.size(); ++i) {
        const LinePlace& a = line.places[i - 1];
        const LinePlace& b = line.places[i];
        const double rest = line.steps[i - 1] * line.length / whole;
        terms_.push_back({{{{a.a, a.t - 1.0}, {a.b, -a.t}, {b.a, 1.0 - b.t}, {b.b, b.t}}},
                          options_.spring / rest,
                          rest,
                          l});
      }
    }
  }

  bool factorise() {
    std::vector<Eigen::Triplet<double>> entries;
    const auto put = [&entries](std::uint32_t i, std::uint32_t j, double w) {
      if (i > 0 && j > 0) entries.emplace_back(static_cast<int>(i) - 1, static_cast<int>(j) - 1, w);
    };
    for (std::size_t n = 0; n < mesh_.triangles.size(); ++n) {
      const Corners& t = mesh_.triangles[n];
      for (std::size_t k = 0; k < 3; ++k) {
        const std::uint32_t a = t[k];
        const std::uint32_t b = t[(k + 1) % 3];
        const double w = weights_[n][k];
        put(a, a, w);
        put(b, b, w);
        put(a, b, -w);
        put(b, a, -w);
      }
    }
    for (const Term& term : terms_) {
      for (const auto& [i, wi] : term.parts) {
        for (const auto& [j, wj] : term.parts) put(i, j, term.stiffness * wi * wj);
      }
    }
    Eigen::SparseMatrix<double> matrix(count_ - 1, count_ - 1);
    matrix.setFromTriplets(entries.begin(), entries.end());
    factor_.compute(matrix);
    return factor_.info() == Eigen::Success;
  }

  // Best rotations for the points: the right side of the global step, and the energy there.
  double local_step(const Plane& at, Plane& right) const {
    double energy = 0.0;
    const auto point = [&at](std::uint32_t i) {
      return Vec2{at(static_cast<Eigen::Index>(i), 0), at(static_cast<Eigen::Index>(i), 1)};
    };
    const auto add = [&right](std::uint32_t i, Vec2 v) {
      right(static_cast<Eigen::Index>(i), 0) += v.x;
      right(static_cast<Eigen::Index>(i), 1) += v.y;
    };
    for (std::size_t n = 0; n < mesh_.triangles.size(); ++n) {
      const Corners& t = mesh_.triangles[n];
      const FlatCorners& q = mesh_.shapes[n];
      double along = 0.0;
      double aside = 0.0;
      for (std::size_t k = 0; k < 3; ++k) {
        const Vec2 rest = q[(k + 1) % 3] - q[k];
        const Vec2 now = point(t[(k + 1) % 3]) - point(t[k]);
        along += weights_[n][k] * dot(rest, now);
        aside += weights_[n][k] * cross(rest, now);
      }
      const double size = std::sqrt(along * along + aside * aside);
      const Vec2 turn = size > 0.0 ? Vec2{along / size, aside / size} : Vec2{1.0, 0.0};
      for (std::size_t k = 0; k < 3; ++k) {
        const Vec2 rest = q[(k + 1) % 3] - q[k];
        const Vec2 wanted{turn.x * rest.x - turn.y * rest.y, turn.y * rest.x + turn.x * rest.y};
        energy += weights_[n][k] * square_of(point(t[(k + 1) % 3]) - point(t[k]) - wanted);
        add(t[(k + 1) % 3], weights_[n][k] * wanted);
        add(t[k], -weights_[n][k] * wanted);
      }
    }
    for (const Term& term : terms_) {
      Vec2 now{};
      for (const auto& [i, w] : term.parts) now += w * point(i);
      const Vec2 wanted = term.rest * unit(now);
      energy += term.stiffness * square_of(now - wanted);
      for (const auto& [i, w] : term.parts) add(i, term.stiffness * w * wanted);
    }
    return energy;
  }

  // The first point is held at the origin: only differences count.
  [[nodiscard]] Plane global_step(const Plane& right) const {
    Plane next = Plane::Zero(count_, 2);
    next.bottomRows(count_ - 1) = factor_.solve(right.bottomRows(count_ - 1));
    return next;
  }

  // A step without the shift and small turn nearest to it.
  static Plane without_rigid(const Plane& step, const Plane& at) {
    const Eigen::RowVector2d shift = step.colwise().mean();
    const Eigen::RowVector2d middle = at.colwise().mean();
    double turn = 0.0;
    double size = 0.0;
    for (Eigen::Index i = 0; i < at.rows(); ++i) {
      const Eigen::RowVector2d r = at.row(i) - middle;
      const Eigen::RowVector2d s = step.row(i) - shift;
      turn += r(0) * s(1) - r(1) * s(0);
      size += r.squaredNorm();
    }
    turn /= size;
    Plane result = step;
    for (Eigen::Index i = 0; i < at.rows(); ++i) {
      const Eigen::RowVector2d r = at.row(i) - middle;
      result(i, 0) -= shift(0) - turn * r(1);
      result(i, 1) -= shift(1) + turn * r(0);
    }
    return result;
  }

  static Plane mix(const std::deque<Plane>& reached, const std::deque<Plane>& lacking) {
    const auto m = static_cast<Eigen::Index>(lacking.size()) - 1;
    const Eigen::Index rows = lacking.back().rows();
    Eigen::MatrixXd differences(2 * rows, m);
    for (Eigen::Index k = 0; k < m; ++k) {
      const Plane d = lacking[static_cast<std::size_t>(k) + 1] - lacking[static_cast<std::size_t>(k)];
      differences.col(k) << d.col(0), d.col(1);
    }
    Eigen::VectorXd last(2 * rows);
    last << lacking.back().col(0), lacking.back().col(1);
    const Eigen::MatrixXd square = differences.transpose() * differences;
    const double level = 1e-12 * square.diagonal().maxCoeff();
    const Eigen::VectorXd shares =
        (square + level * Eigen::MatrixXd::Identity(m, m)).ldlt().solve(differences.transpose() * last);
    Plane result = reached.back();
    for (Eigen::Index k = 0; k < m; ++k) {
      result -= shares(k) * (reached[static_cast<std::size_t>(k) + 1] - reached[static_cast<std::size_t>(k)]);
    }
    return result;
  }

  const FlatMesh& mesh_;
  const std::vector<HeldLine>& lines_;
  const FlattenOptions& options_;
  Eigen::Index count_;
  bool sound_ = true;
  std::vector<std::array<double, 3>> weights_;
  std::vector<Term> terms_;
  Plane points_;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor_;
};

}  // namespace

int turned_triangles(const std::vector<Corners>& triangles, const std::vector<Vec2>& flat) {
  return static_cast<int>(std::count_if(triangles.begin(), triangles.end(), [&](const Corners& t) {
    return !(cross(flat[t[1]] - flat[t[0]], flat[t[2]] - flat[t[0]]) > 0.0);
  }));
}

Result<Flattened> flatten(const FlatMesh& mesh, std::vector<HeldLine> lines, std::vector<Vec2> start,
                          const FlattenOptions& options) {
  RigidSearch search(mesh, lines, std::move(start), options);
  if (!search.sound()) {
    return Problem{
        Trouble::kGeometry, "the surface cannot be flattened: it has triangles without area", {}, {}, {}};
  }
  Flattened result;
  for (int round = 0;; ++round) {
    if (!search.settle(result.steps)) {
      return Problem{Trouble::kGeometry,
                     "the flattening of the surface did not settle",
                     {},
                     static_cast<double>(result.steps),
                     static_cast<double>(options.steps)};
    }
    result.worst_line = search.correct();
    if (result.worst_line < options.line_error || round == options.corrections) break;
  }
  result.points = search.flat_points();
  if (const int turned = turned_triangles(mesh.triangles, result.points); turned > 0) {
    return Problem{Trouble::kGeometry,
                   "triangles of the flat copy are turned over",
                   {},
                   static_cast<double>(turned),
                   0.0};
  }
  return result;
}

}  // namespace lastwright
