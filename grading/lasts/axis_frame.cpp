#include "grading/lasts/axis_frame.hpp"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "grading/lasts/roles.hpp"

namespace lastwright {

AxisSpline fit_axis_spline(double length, const std::vector<std::pair<double, double>>& samples) {
  constexpr int n = kFieldCoefficients;
  AxisSpline spline(length, n, 0.0);
  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(n, n);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  for (const auto& [x, value] : samples) {
    const AxisSpline::Local l = spline.local(x);
    for (int i = 0; i < 4; ++i) {
      right[l.first + i] += l.value[static_cast<std::size_t>(i)] * value;
      for (int j = 0; j < 4; ++j) {
        normal(l.first + i, l.first + j) +=
            l.value[static_cast<std::size_t>(i)] * l.value[static_cast<std::size_t>(j)];
      }
    }
  }
  const double weight = 1e-3 * static_cast<double>(samples.size()) / n;
  for (int i = 0; i + 2 < n; ++i) {
    const Eigen::Vector3d d(1.0, -2.0, 1.0);
    normal.block<3, 3>(i, i) += weight * d * d.transpose();
  }
  const Eigen::VectorXd c = normal.ldlt().solve(right);
  for (int i = 0; i < n; ++i) spline.coefficients[static_cast<std::size_t>(i)] = c[i];
  return spline;
}

Result<AxisFrame> axis_frame_of(Body& body, const Standing& standing, const Landmarks& landmarks) {
  AxisFrame frame;
  frame.length = standing.length;
  const std::vector<int> feather = feather_edges(body);
  const Form form = make_form(body);
  std::vector<std::pair<double, double>> middle;
  std::vector<std::pair<double, double>> profile;
  for (int i = 1; i < 60; ++i) {
    const double x = standing.length * i / 60.0;
    const std::optional<FeatherPair> pair = feather_at(body, feather, x);
    if (!pair) continue;
    const double y = 0.5 * (pair->left.y + pair->right.y);
    // The bottom under the middle line: the lowest point of the station's section near it.
    const Section section = cut_section(form, plane_through({x, 0, 0}, {1, 0, 0}), {0.1, 4});
    double z = 0.5 * (pair->left.z + pair->right.z);
    double nearest = 1e9;
    for (const SectionStretch& s : section.stretches) {
      if (body.faces[static_cast<std::size_t>(s.face)].role != FaceRole::kBottom) continue;
      for (std::size_t k : s.point) {
        const Vec3 p = section.points[k].p;
        if (std::abs(p.y - y) < nearest) {
          nearest = std::abs(p.y - y);
          z = p.z;
        }
      }
    }
    middle.emplace_back(x, y);
    profile.emplace_back(x, z);
  }
  if (middle.size() < 20) {
    return Problem{Trouble::kGeometry,
                   "the featherline reaches too few stations along the last",
                   {},
                   static_cast<double>(middle.size()),
                   20.0};
  }
  frame.middle = fit_axis_spline(standing.length, middle);
  frame.profile = fit_axis_spline(standing.length, profile);
  const Vec3 tread = body.at(landmarks.at("tread middle")).p;
  frame.tread = tread.x / standing.length;

  std::vector<Vec3> top;
  for (const MeshNode& n : body.mesh.nodes) {
    if (body.faces[static_cast<std::size_t>(n.face)].role == FaceRole::kTop) top.push_back(n.point);
  }
  if (top.size() >= 3) {
    frame.has_top = true;
    double mx = 0;
    double mz = 0;
    for (const Vec3& p : top) {
      mx += p.x / static_cast<double>(top.size());
      mz += p.z / static_cast<double>(top.size());
    }
    double xx = 0;
    double xz = 0;
    for (const Vec3& p : top) {
      xx += (p.x - mx) * (p.x - mx);
      xz += (p.x - mx) * (p.z - mz);
    }
    frame.top_tilt = xx > 0 ? xz / xx : 0.0;
    frame.top_at_zero = mz - frame.top_tilt * mx;
    // Tried on the demo last over four sizes and three widths: with 0.3 of its height the ridge is squeezed
    // to 0.4 and gets a hollow below the rim, with 0.6 the instep gives way instead.
    constexpr double kBlend = 0.48;
    double low = top.front().z;
    for (const Vec3& p : top) low = std::min(low, p.z);
    frame.blend = kBlend * low;
    double off = 0.0;
    for (const Vec3& p : top) off = std::max(off, std::abs(p.z - frame.top_at_zero - frame.top_tilt * p.x));
    if (off > 0.2) {
      body.notes.push_back(fmt::format(
          "the top plane tilts sideways or is not plane: {:.2f} mm off; its rule holds it to its own shape",
          off));
    }
  }
  return frame;
}

}  // namespace lastwright
