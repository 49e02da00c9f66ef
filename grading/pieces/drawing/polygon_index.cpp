#include "grading/pieces/drawing/polygon_index.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

constexpr std::size_t kEdgesAStrip = 4;
constexpr std::size_t kMostStrips = 8192;
constexpr std::size_t kMostCopies = 6;  // of each edge, on average

}  // namespace

PolygonIndex::PolygonIndex(std::vector<Vec2> polygon) : polygon_(std::move(polygon)) {
  for (const Vec2 p : polygon_) box_.add(p);
  const std::size_t n = polygon_.size();
  std::size_t strips = std::clamp(n / kEdgesAStrip, std::size_t{1}, kMostStrips);
  if (!(box_.height() > 0.0)) strips = 1;
  const auto range = [&](std::size_t i) {
    const auto [low, high] = std::minmax(polygon_[i].y, polygon_[(i + 1) % n].y);
    return std::pair{strip_of(low), strip_of(high)};
  };
  // Tall edges reach into many strips: then fewer are made.
  while (true) {
    first_.assign(strips + 1, 0);
    per_height_ = strips == 1 ? 0.0 : static_cast<double>(strips) / box_.height();
    std::size_t copies = 0;
    for (std::size_t i = 0; i < n; ++i) {
      const auto [low, high] = range(i);
      copies += high - low + 1;
    }
    if (copies <= kMostCopies * n + 1 || strips == 1) break;
    strips /= 2;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const auto [low, high] = range(i);
    for (std::size_t s = low; s <= high; ++s) ++first_[s + 1];
  }
  for (std::size_t s = 0; s < strips; ++s) first_[s + 1] += first_[s];
  edges_.resize(first_.back());
  std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
  for (std::size_t i = 0; i < n; ++i) {
    const auto [low, high] = range(i);
    for (std::size_t s = low; s <= high; ++s) edges_[next[s]++] = static_cast<std::uint32_t>(i);
  }
}

std::size_t PolygonIndex::strip_of(double y) const {
  const std::size_t last = first_.size() - 2;
  const double strip = (y - box_.low.y) * per_height_;
  if (!(strip > 0.0)) return 0;
  return std::min(last, static_cast<std::size_t>(strip));
}

bool PolygonIndex::inside(Vec2 p) const {
  if (polygon_.empty() || !box_.overlaps({p, p})) return false;
  const std::size_t strip = strip_of(p.y);
  int winding = 0;
  for (std::uint32_t e = first_[strip]; e < first_[strip + 1]; ++e) {
    const std::size_t i = edges_[e];
    const Vec2 a = polygon_[i];
    const Vec2 b = polygon_[(i + 1) % polygon_.size()];
    const double side = cross(b - a, p - a);
    if (a.y <= p.y && b.y > p.y && side > 0.0) ++winding;
    if (a.y > p.y && b.y <= p.y && side < 0.0) --winding;
  }
  return winding != 0;
}

}  // namespace lastwright
