#include "geometry/curve/path_station.hpp"

#include <limits>

namespace lastwright {

namespace {

template <class Path>
PathStation station_nearest_to(const Path& path, Vec2 point) {
  PathStation nearest{0.0, std::numeric_limits<double>::infinity()};
  double reached = 0.0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    const double t = segment.nearest(point);
    const double off = distance(segment.point_at(t), point);
    if (off < nearest.off) nearest = {reached + t * segment.length(), off};
    reached += segment.length();
  }
  return nearest;
}

}  // namespace

PathStation nearest_station(const OpenArcPath& path, Vec2 point) {
  return station_nearest_to(path, point);
}

PathStation nearest_station(const ClosedArcPath& path, Vec2 point) {
  return station_nearest_to(path, point);
}

}  // namespace lastwright
