#include "geometry/flatten/conformal.hpp"

#include <Eigen/SparseCholesky>
#include <cmath>

namespace lastwright {

Result<std::vector<Vec2>> conformal_copy(const FlatMesh& mesh, std::size_t points, std::uint32_t left,
                                         std::uint32_t right) {
  // Unknowns 2 row and 2 row + 1; the pins have none.
  std::vector<int> row(points, -1);
  int unknowns = 0;
  for (std::uint32_t i = 0; i < points; ++i) {
    if (i != left && i != right) row[i] = unknowns++;
  }
  std::vector<Eigen::Triplet<double>> entries;
  const auto triangles = static_cast<Eigen::Index>(mesh.triangles.size());
  Eigen::VectorXd right_side = Eigen::VectorXd::Zero(2 * triangles);
  double area = 0.0;
  for (Eigen::Index n = 0; n < triangles; ++n) {
    const Corners& t = mesh.triangles[static_cast<std::size_t>(n)];
    const FlatCorners& q = mesh.shapes[static_cast<std::size_t>(n)];
    const double twice = cross(q[1] - q[0], q[2] - q[0]);
    area += 0.5 * twice;
    const double scale = 1.0 / std::sqrt(twice);
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec2 w = scale * (q[(k + 2) % 3] - q[(k + 1) % 3]);
      const int at = row[t[k]];
      if (at >= 0) {
        const int x = 2 * at;
        entries.emplace_back(2 * n, x, w.x);
        entries.emplace_back(2 * n, x + 1, -w.y);
        entries.emplace_back(2 * n + 1, x, w.y);
        entries.emplace_back(2 * n + 1, x + 1, w.x);
      } else if (t[k] == right) {  // at (1, 0)
        right_side(2 * n) -= w.x;
        right_side(2 * n + 1) -= w.y;
      }
    }
  }
  Eigen::SparseMatrix<double> matrix(2 * triangles, 2 * unknowns);
  matrix.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SparseMatrix<double> normal = matrix.transpose() * matrix;
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor(normal);
  const Problem fails{
      Trouble::kGeometry, "the surface has no flat copy: some of its triangles have no area", {}, {}, {}};
  if (factor.info() != Eigen::Success) return fails;
  const Eigen::VectorXd solved = factor.solve(matrix.transpose() * right_side);
  if (!solved.allFinite()) return fails;
  std::vector<Vec2> flat(points);
  flat[right] = {1.0, 0.0};
  for (std::size_t i = 0; i < points; ++i) {
    if (row[i] >= 0) flat[i] = {solved(2 * row[i]), solved(2 * row[i] + 1)};
  }
  double covered = 0.0;
  for (const Corners& t : mesh.triangles)
    covered += 0.5 * cross(flat[t[1]] - flat[t[0]], flat[t[2]] - flat[t[0]]);
  if (!(covered > 0.0)) return fails;
  const double grow = std::sqrt(area / covered);
  for (Vec2& p : flat) p = grow * p;
  return flat;
}

}  // namespace lastwright
