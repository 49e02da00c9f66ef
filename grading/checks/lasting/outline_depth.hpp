// How deep points lie inside an outline, and how far lines stand out of it.
#pragma once

#include <cstddef>
#include <optional>

#include "geometry/check/hausdorff.hpp"
#include "geometry/curve/arc_path.hpp"

namespace lastwright {

// Distance to an outline, below 0 outside. Quick for many points of one outline; free where nothing is asked.
class OutlineDepth {
 public:
  // `path` must outlive it.
  explicit OutlineDepth(const ClosedArcPath& path) : path_(path) {}
  [[nodiscard]] const ClosedArcPath& path() const { return path_; }
  double operator()(Vec2 p);

 private:
  [[nodiscard]] bool inside(Vec2 p, std::size_t nearest) const;

  const ClosedArcPath& path_;
  std::optional<MeasuredOutline> outline_;
  std::size_t hint_ = 0;
};

// How far a line stands out of the outline at most, 0 where it does not, and the point that does. Never too
// high, and too low by kStandsOut at most: a stretch is halved until no point of it can stand out farther.
struct StandsOut {
  double value = 0.0;
  Vec2 at;
};
inline constexpr double kStandsOut = 0.01;  // mm: a fifth of the limit for what stands out of a piece
StandsOut stands_out(const OpenArcPath& line, OutlineDepth& outline);
StandsOut stands_out(const ClosedArcPath& line, OutlineDepth& outline);

}  // namespace lastwright
