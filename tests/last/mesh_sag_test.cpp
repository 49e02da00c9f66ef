#include "geometry/solid/mesh_sag.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

using namespace lastwright;

namespace {

constexpr double kRadius = 40.0;

// A band of a sphere about its equator, so many squares round, each of two triangles.
PlainMesh band(int round, double noise) {
  PlainMesh mesh;
  const double step = 2.0 * std::numbers::pi / round;
  const int rows = round / 8;
  for (int k = -rows; k <= rows; ++k) {
    for (int i = 0; i < round; ++i) {
      const double r = kRadius + noise * std::sin(12.9898 * i + 78.233 * k);
      mesh.points.push_back({r * std::cos(k * step) * std::cos(i * step),
                             r * std::cos(k * step) * std::sin(i * step), r * std::sin(k * step)});
    }
  }
  for (int k = 0; k < 2 * rows; ++k) {
    for (int i = 0; i < round; ++i) {
      const auto at = [&](int row, int column) {
        return static_cast<std::uint32_t>(row * round + column % round);
      };
      mesh.triangles.push_back({at(k, i), at(k, i + 1), at(k + 1, i)});
      mesh.triangles.push_back({at(k, i + 1), at(k + 1, i + 1), at(k + 1, i)});
    }
  }
  return mesh;
}

// By the definition: how deep points spread over the triangles lie, each triangle by its area.
double depth(const PlainMesh& mesh) {
  double sum = 0.0;
  double all = 0.0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    const Vec3 b = mesh.points[t[1]];
    const Vec3 c = mesh.points[t[2]];
    const double area = norm(cross(b - a, c - a));
    constexpr int kParts = 12;
    double mean = 0.0;
    int count = 0;
    for (int i = 0; i < kParts; ++i) {
      for (int k = 0; i + k < kParts; ++k, ++count) {
        const double u = (i + 1.0 / 3.0) / kParts;
        const double v = (k + 1.0 / 3.0) / kParts;
        mean += kRadius - norm(a + u * (b - a) + v * (c - a));
      }
    }
    sum += area * mean / count;
    all += area;
  }
  return sum / all;
}

}  // namespace

TEST_CASE("flat triangles lie as deep inside a sphere as is told, whatever the noise of their corners") {
  for (const int round : {48, 96, 192}) {
    const PlainMesh mesh = band(round, 0.0);
    CHECK(mean_sag(mesh) == Approx(depth(mesh)).epsilon(0.15));
    const double step = 2.0 * std::numbers::pi * kRadius / round;
    CHECK(mean_sag(band(round, 0.01 * step)) == Approx(mean_sag(mesh)).margin(0.01 * step));
  }
  PlainMesh hollow = band(96, 0.0);  // seen from inside
  for (auto& t : hollow.triangles) std::swap(t[0], t[1]);
  CHECK(mean_sag(hollow) == 0.0);
}
