#include "grading/planning/hide_directions.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
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

NearestLine::NearestLine(std::vector<std::vector<Vec2>> lines, const Box2& about) : lines_(std::move(lines)) {
  boxes_.resize(std::max<std::size_t>(1, lines_.size()));
  if (lines_.size() < 2 || about.empty()) {
    boxes_.assign(boxes_.size(), about);
    return;
  }
  constexpr double kCells = 64.0;  // along the longer side
  low_ = about.low;
  step_ = std::max(1e-3, std::max(about.width(), about.height()) / kCells);
  columns_ = static_cast<std::size_t>(about.width() / step_) + 1;
  rows_ = static_cast<std::size_t>(about.height() / step_) + 1;
  // From a cell's middle to its corner; a line is no nearer there by more than that, and no farther.
  const double corner = 0.5 * std::numbers::sqrt2 * step_ * (1.0 + 1e-9);
  std::vector<double> off(lines_.size());
  for (std::size_t c = 0; c < columns_; ++c) {
    for (std::size_t r = 0; r < rows_; ++r) {
      const Vec2 corner_low = low_ + step_ * Vec2{static_cast<double>(c), static_cast<double>(r)};
      const Vec2 middle = corner_low + 0.5 * Vec2{step_, step_};
      for (std::size_t l = 0; l < lines_.size(); ++l) off[l] = away(l, middle);
      const double least = *std::min_element(off.begin(), off.end());
      std::vector<std::uint32_t>& can = cells_.emplace_back();
      for (std::size_t l = 0; l < lines_.size(); ++l) {
        if (off[l] > least + 2.0 * corner) continue;
        can.push_back(static_cast<std::uint32_t>(l));
        // A thousandth more than the cell: which of two a place on their border falls in is rounding.
        boxes_[l].add(Box2{corner_low, corner_low + Vec2{step_, step_}}.grown(1e-3 * step_));
      }
    }
  }
}

double NearestLine::away(std::size_t line, Vec2 at) const {
  const std::vector<Vec2>& points = lines_[line];
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Vec2 along = points[i + 1] - points[i];
    const double size = dot(along, along);
    const double t = size > 0.0 ? std::clamp(dot(at - points[i], along) / size, 0.0, 1.0) : 0.0;
    least = std::min(least, distance(at, points[i] + t * along));
  }
  return least;
}

const std::vector<std::uint32_t>* NearestLine::near(Vec2 at) const {
  const double x = (at.x - low_.x) / step_;
  const double y = (at.y - low_.y) / step_;
  if (!(x >= 0.0 && y >= 0.0 && x < static_cast<double>(columns_) && y < static_cast<double>(rows_)))
    return nullptr;
  return &cells_[static_cast<std::size_t>(x) * rows_ + static_cast<std::size_t>(y)];
}

std::size_t NearestLine::operator()(Vec2 at) const {
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  const auto look = [&](std::size_t line) {
    const double off = away(line, at);
    if (off < least) {
      least = off;
      best = line;
    }
  };
  if (const std::vector<std::uint32_t>* some = near(at)) {
    if (some->size() == 1) return some->front();
    for (const std::uint32_t line : *some) look(line);
  } else {
    for (std::size_t line = 0; line < lines_.size(); ++line) look(line);
  }
  return best;
}

std::size_t NearestLine::looked_at(Vec2 at) const {
  const std::vector<std::uint32_t>* some = near(at);
  return some ? some->size() : lines_.size();
}

}  // namespace lastwright
