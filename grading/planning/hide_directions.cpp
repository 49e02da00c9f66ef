#include "grading/planning/hide_directions.hpp"

#include <cmath>
#include <numbers>

namespace lastwright {

namespace {

constexpr double kShortestStep = 1.0;  // mm

bool runs_one_way(const std::vector<Vec2>& part, Vec2 next) {
  const Vec2 chord = next - part.front();
  const auto follows = [&](Vec2 step) {
    return std::abs(std::atan2(cross(chord, step), dot(chord, step))) <= kOneWay * std::numbers::pi / 180.0;
  };
  for (std::size_t i = 0; i + 1 < part.size(); ++i) {
    if (!follows(part[i + 1] - part[i])) return false;
  }
  return follows(next - part.back());
}

}  // namespace

std::vector<std::vector<Vec2>> one_way_parts(const std::vector<Vec2>& line) {
  std::vector<Vec2> points;
  for (const Vec2 point : line) {
    if (points.empty() || distance(points.back(), point) >= kShortestStep) points.push_back(point);
  }
  if (points.size() < 2) return {line};
  points.back() = line.back();
  std::vector<std::vector<Vec2>> parts;
  std::vector<Vec2> part{points.front()};
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (part.size() > 1 && !runs_one_way(part, points[i])) {
      const Vec2 corner = part.back();
      parts.push_back(std::move(part));
      part = {corner};
    }
    part.push_back(points[i]);
  }
  parts.push_back(std::move(part));
  return parts;
}

}  // namespace lastwright
