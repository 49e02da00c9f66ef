#include "grading/checks/edges_together.hpp"

#include <algorithm>

#include "geometry/curve/course.hpp"

namespace lastwright {

namespace {

double farthest(const OpenArcPath& one, const OpenArcPath& other) {
  double worst = distance_to(other, one.vertices.back().at);
  for (std::size_t i = 0; i < one.size(); ++i) {
    worst = std::max(
        {worst, distance_to(other, one.segment(i).a), distance_to(other, one.segment(i).point_at(0.5))});
  }
  return worst;
}

}  // namespace

double apart(const OpenArcPath& one, const OpenArcPath& other) {
  return std::max(farthest(one, other), farthest(other, one));
}

double length_on(const OpenArcPath& one, const OpenArcPath& other, double near) {
  constexpr int kParts = 200;
  const Course course(one);
  const double length = course.length();
  int on = 0;
  for (int i = 0; i < kParts; ++i)
    on += distance_to(other, course.at((i + 0.5) / kParts * length).at) <= near;
  return length * on / kParts;
}

}  // namespace lastwright
