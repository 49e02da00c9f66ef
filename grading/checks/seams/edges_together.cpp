#include "grading/checks/seams/edges_together.hpp"

#include <limits>

#include "geometry/check/hausdorff.hpp"
#include "geometry/curve/course.hpp"

namespace lastwright {

double apart(const OpenArcPath& one, const OpenArcPath& other) {
  if (one.size() == 0 || other.size() == 0) return std::numeric_limits<double>::infinity();
  HausdorffOptions options;
  options.precision = Millimetres(kApartPrecision);
  return hausdorff(MeasuredOutline(one), MeasuredOutline(other), options).value;
}

double length_on(const OpenArcPath& one, const OpenArcPath& other, double near) {
  constexpr int kParts = 200;  // the length is found to a two hundredth
  const Course course(one);
  const double length = course.length();
  int on = 0;
  for (int i = 0; i < kParts; ++i)
    on += distance_to(other, course.at((i + 0.5) / kParts * length).at) <= near;
  return length * on / kParts;
}

}  // namespace lastwright
