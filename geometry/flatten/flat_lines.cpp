#include "geometry/flatten/flat_lines.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "geometry/curve/biarc.hpp"
#include "geometry/middle_value.hpp"

namespace lastwright {

namespace {

using Crossed = std::pair<std::uint32_t, std::uint32_t>;

Crossed crossed(std::uint32_t a, std::uint32_t b) {
  return {std::min(a, b), std::max(a, b)};
}

// The direction at b of the circle through a, b, c.
Vec2 circle_direction(Vec2 a, Vec2 b, Vec2 c) {
  const double before = distance(a, b);
  const double after = distance(b, c);
  return unit(after * unit(b - a) + before * unit(c - b));
}

Vec2 end_direction(Vec2 end, Vec2 next, Vec2 inner) {
  // An arc's directions at its ends lie alike on either side of its chord.
  const Vec2 chord = unit(next - end);
  const Vec2 there = circle_direction(end, next, inner);
  return 2.0 * dot(chord, there) * chord - there;
}

// Leaves out places that follow too closely; the steps of what stays add up as before.
void thin(HeldLine& line) {
  const double least = 0.2 * middle_value(line.steps);
  std::vector<LinePlace> places{line.places.front()};
  std::vector<double> steps;
  double walked = 0.0;
  for (std::size_t i = 1; i < line.places.size(); ++i) {
    walked += line.steps[i - 1];
    const bool last = i + 1 == line.places.size();
    if (walked < least && !last) continue;
    if (walked < least && !steps.empty()) {  // the last place takes that of the one before
      steps.back() += walked;
      places.back() = line.places[i];
    } else {
      places.push_back(line.places[i]);
      steps.push_back(walked);
    }
    walked = 0.0;
  }
  line.places = std::move(places);
  line.steps = std::move(steps);
}

Vec2 in_shape(const Corners& t, const FlatCorners& shape, const LinePlace& place) {
  const auto corner = [&](std::uint32_t i) {
    return shape[static_cast<std::size_t>(std::find(t.begin(), t.end(), i) - t.begin())];
  };
  return lerp(corner(place.a), corner(place.b), place.t);
}

}  // namespace

Vec3 place_at(const std::vector<Vec3>& points, const LinePlace& place) {
  return lerp(points[place.a], points[place.b], place.t);
}
Vec2 place_at(const std::vector<Vec2>& points, const LinePlace& place) {
  return points[place.a] + place.t * (points[place.b] - points[place.a]);
}
std::vector<Vec2> places_at(const std::vector<Vec2>& points, const std::vector<LinePlace>& places) {
  std::vector<Vec2> result;
  result.reserve(places.size());
  for (const LinePlace& p : places) result.push_back(place_at(points, p));
  return result;
}

HeldLine line_along(const FlatMesh& mesh, const std::vector<std::uint32_t>& chain) {
  std::map<Crossed, double> lengths;
  for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
    const Corners& t = mesh.triangles[n];
    for (std::size_t k = 0; k < 3; ++k) {
      lengths[crossed(t[k], t[(k + 1) % 3])] = distance(mesh.shapes[n][k], mesh.shapes[n][(k + 1) % 3]);
    }
  }
  HeldLine line;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    line.places.push_back({chain[i], chain[i], 0.0});
    if (i > 0) line.steps.push_back(lengths.at(crossed(chain[i - 1], chain[i])));
  }
  return line;
}

HeldLine zero_line(const FlatMesh& mesh, const std::vector<double>& height,
                   const std::vector<std::uint32_t>& from) {
  const auto above = [&](std::uint32_t i) { return height[i] >= 0.0; };
  std::map<Crossed, std::vector<std::uint32_t>> users;
  for (std::uint32_t n = 0; n < mesh.triangles.size(); ++n) {
    const Corners& t = mesh.triangles[n];
    for (std::size_t k = 0; k < 3; ++k) {
      if (above(t[k]) != above(t[(k + 1) % 3])) users[crossed(t[k], t[(k + 1) % 3])].push_back(n);
    }
  }
  std::optional<Crossed> at;
  for (std::size_t i = 1; i < from.size() && !at; ++i) {
    if (above(from[i - 1]) != above(from[i])) at = crossed(from[i - 1], from[i]);
  }
  HeldLine line;
  std::uint32_t last = ~0U;
  while (at) {
    const auto [a, b] = *at;
    line.places.push_back({a, b, height[a] / (height[a] - height[b])});
    const std::vector<std::uint32_t>& using_it = users.at(*at);
    const auto ahead =
        std::find_if(using_it.begin(), using_it.end(), [&](std::uint32_t n) { return n != last; });
    if (ahead == using_it.end()) break;
    last = *ahead;
    const Corners& t = mesh.triangles[last];
    for (std::size_t k = 0; k < 3; ++k) {
      const Crossed side = crossed(t[k], t[(k + 1) % 3]);
      if (side == *at || above(side.first) == above(side.second)) continue;
      const LinePlace next{side.first, side.second,
                           height[side.first] / (height[side.first] - height[side.second])};
      line.steps.push_back(
          distance(in_shape(t, mesh.shapes[last], line.places.back()), in_shape(t, mesh.shapes[last], next)));
      at = side;
      break;
    }
  }
  if (line.steps.empty()) return {};
  thin(line);
  return line;
}

OpenArcPath smooth_through(const std::vector<Vec2>& points) {
  const std::size_t n = points.size();
  if (n < 3) {
    OpenArcPath path;
    for (Vec2 p : points) path.vertices.push_back({p, 0.0});
    return path;
  }
  std::vector<Vec2> along(n);
  for (std::size_t i = 1; i + 1 < n; ++i)
    along[i] = circle_direction(points[i - 1], points[i], points[i + 1]);
  along[0] = end_direction(points[0], points[1], points[2]);
  along[n - 1] = -end_direction(points[n - 1], points[n - 2], points[n - 3]);
  OpenArcPath path{{{points[0], 0.0}}};
  for (std::size_t i = 1; i < n; ++i) {
    const Biarc fit = biarc(points[i - 1], along[i - 1], points[i], along[i]);
    path.vertices.back().bulge = fit.first.bulge;
    path.vertices.push_back({fit.first.b, fit.second.bulge});
    path.vertices.push_back({points[i], 0.0});
  }
  return path;
}

OpenArcPath smooth_copy(const HeldLine& line, const std::vector<Vec2>& points) {
  return smooth_through(places_at(points, line.places));
}

}  // namespace lastwright
