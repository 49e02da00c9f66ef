#include "grading/lasts/formes/forme_frame.hpp"

namespace lastwright {

FlatMotion lay_on(Vec2 from, Vec2 ahead, Vec2 to, Vec2 wanted) {
  const Vec2 a = unit(ahead - from);
  const Vec2 b = unit(wanted - to);
  FlatMotion motion{dot(a, b), cross(a, b), {}};
  motion.shift = to - motion(from);
  return motion;
}

FlatMotion best_turn(const std::vector<Vec2>& points, Vec2 from, const std::vector<Vec2>& wanted,
                     Vec2 wanted_from) {
  Vec2 sum;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 a = points[i] - from;
    const Vec2 b = wanted[i] - wanted_from;
    sum += Vec2{dot(a, b), cross(a, b)};
  }
  const Vec2 turn = unit(sum);
  FlatMotion motion{turn.x, turn.y, {}};
  motion.shift = -motion(from);
  return motion;
}

FlatMotion best_motion(const std::vector<Vec2>& points, const std::vector<Vec2>& wanted) {
  Vec2 middle;
  Vec2 wanted_middle;
  for (std::size_t i = 0; i < points.size(); ++i) {
    middle += points[i] / static_cast<double>(points.size());
    wanted_middle += wanted[i] / static_cast<double>(points.size());
  }
  FlatMotion motion = best_turn(points, middle, wanted, wanted_middle);
  motion.shift += wanted_middle;
  return motion;
}

void lay(std::vector<Vec2>& points, const FlatMotion& motion) {
  for (Vec2& p : points) p = motion(p);
}

}  // namespace lastwright
