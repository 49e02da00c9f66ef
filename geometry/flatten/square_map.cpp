#include "geometry/flatten/square_map.hpp"

#include <fmt/format.h>

#include <Eigen/SparseLU>
#include <algorithm>
#include <cmath>
#include <map>

namespace lastwright {

namespace {

using Side = std::pair<std::uint32_t, std::uint32_t>;

Side side_of(std::uint32_t a, std::uint32_t b) {
  return {std::min(a, b), std::max(a, b)};
}

// By point the sides of the square it lies on, as bits.
std::vector<unsigned> sides_by_point(const FourSides& skin) {
  std::vector<unsigned> on(skin.mesh.points.size(), 0U);
  for (unsigned s = 0; s < 4; ++s) {
    for (std::uint32_t i : skin.sides[s]) on[i] |= 1U << s;
  }
  return on;
}

// An inner side that joins two points of one side would press its triangle flat.
void split_chords(FourSides& skin) {
  const std::vector<unsigned> on = sides_by_point(skin);
  std::map<Side, int> uses;
  for (const Corners& t : skin.mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) ++uses[side_of(t[k], t[(k + 1) % 3])];
  }
  std::map<Side, std::uint32_t> middles;
  for (const auto& [side, count] : uses) {
    if (count < 2 || (on[side.first] & on[side.second]) == 0U) continue;
    middles[side] = static_cast<std::uint32_t>(skin.mesh.points.size());
    skin.mesh.points.push_back(lerp(skin.mesh.points[side.first], skin.mesh.points[side.second], 0.5));
  }
  if (middles.empty()) return;
  std::vector<Corners> pending = std::move(skin.mesh.triangles);
  skin.mesh.triangles.clear();
  while (!pending.empty()) {
    const Corners t = pending.back();
    pending.pop_back();
    std::size_t k = 0;
    while (k < 3 && !middles.contains(side_of(t[k], t[(k + 1) % 3]))) ++k;
    if (k == 3) {
      skin.mesh.triangles.push_back(t);
      continue;
    }
    const std::uint32_t middle = middles.at(side_of(t[k], t[(k + 1) % 3]));
    pending.push_back({t[k], middle, t[(k + 2) % 3]});
    pending.push_back({middle, t[(k + 1) % 3], t[(k + 2) % 3]});
  }
}

void place_sides(const FourSides& skin, std::vector<Vec2>& uv) {
  for (std::size_t s = 0; s < 4; ++s) {
    const std::vector<std::uint32_t>& chain = skin.sides[s];
    const double whole = length_of(skin.mesh.points, chain);
    double walked = 0.0;
    for (std::size_t i = 0; i < chain.size(); ++i) {
      if (i > 0) walked += distance(skin.mesh.points[chain[i - 1]], skin.mesh.points[chain[i]]);
      const double t = i + 1 == chain.size() ? 1.0 : walked / whole;
      uv[chain[i]] = s == 0 ? Vec2{t, 0.0} : s == 1 ? Vec2{1.0, t} : s == 2 ? Vec2{t, 1.0} : Vec2{0.0, t};
    }
  }
}

// tan(angle / 2) at corner a of a triangle.
double half_tangent(Vec3 a, Vec3 b, Vec3 c) {
  const Vec3 u = unit(b - a);
  const Vec3 w = unit(c - a);
  return std::tan(0.5 * std::atan2(norm(cross(u, w)), dot(u, w)));
}

}  // namespace

Result<SquareMap> map_to_square(FourSides given) {
  SquareMap map{std::move(given), {}};
  split_chords(map.skin);
  const SkinMesh& mesh = map.skin.mesh;
  const std::vector<unsigned> on = sides_by_point(map.skin);
  map.uv.assign(mesh.points.size(), {});
  place_sides(map.skin, map.uv);

  std::vector<int> row(mesh.points.size(), -1);
  int unknowns = 0;
  for (std::size_t i = 0; i < row.size(); ++i) {
    if (on[i] == 0U) row[i] = unknowns++;
  }
  std::vector<std::map<std::uint32_t, double>> weights(mesh.points.size());
  for (const Corners& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k];
      if (row[a] < 0) continue;
      const std::uint32_t b = t[(k + 1) % 3];
      const std::uint32_t c = t[(k + 2) % 3];
      const double half = half_tangent(mesh.points[a], mesh.points[b], mesh.points[c]);
      weights[a][b] += half / distance(mesh.points[a], mesh.points[b]);
      weights[a][c] += half / distance(mesh.points[a], mesh.points[c]);
    }
  }
  std::vector<Eigen::Triplet<double>> entries;
  Eigen::MatrixXd right = Eigen::MatrixXd::Zero(unknowns, 2);
  for (std::size_t i = 0; i < row.size(); ++i) {
    if (row[i] < 0) continue;
    double whole = 0.0;
    for (const auto& [j, w] : weights[i]) whole += w;
    entries.emplace_back(row[i], row[i], 1.0);
    for (const auto& [j, w] : weights[i]) {
      if (row[j] >= 0) {
        entries.emplace_back(row[i], row[j], -w / whole);
      } else {
        right(row[i], 0) += w / whole * map.uv[j].x;
        right(row[i], 1) += w / whole * map.uv[j].y;
      }
    }
  }
  Eigen::SparseMatrix<double> matrix(unknowns, unknowns);
  matrix.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SparseLU<Eigen::SparseMatrix<double>> factor(matrix);
  const Problem fails{
      Trouble::kGeometry,
      "the surface cannot be laid on a square: its triangles are not all connected, or some have no area",
      {},
      {},
      {}};
  if (unknowns > 0 && factor.info() != Eigen::Success) return fails;
  if (unknowns > 0) {
    const Eigen::MatrixXd solved = factor.solve(right);
    if (!solved.allFinite()) return fails;
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (row[i] >= 0) map.uv[i] = {solved(row[i], 0), solved(row[i], 1)};
    }
  }
  int turned = 0;
  for (const Corners& t : mesh.triangles) {
    if (!(cross(map.uv[t[1]] - map.uv[t[0]], map.uv[t[2]] - map.uv[t[0]]) > 0.0)) ++turned;
  }
  if (turned > 0) {
    return Problem{Trouble::kGeometry,
                   "triangles of the surface fold when it is laid on a square",
                   {},
                   static_cast<double>(turned),
                   0.0};
  }
  return map;
}

}  // namespace lastwright
