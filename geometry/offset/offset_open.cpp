#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/offset/moved.hpp"
#include "geometry/offset/offset.hpp"
#include "geometry/offset/untangle.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

Problem refuse(std::string message, Vec2 at, double asked) {
  message += fmt::format(" at ({:.4f}, {:.4f})", at.x, at.y);
  return {Trouble::kGeometry, std::move(message), {}, std::abs(asked), {}};
}

// Collects the parts that keep their distance; each must start where the last one ends. At a hollow kink the
// two lines cross just before their ends, and the ends behind the crossing may be nearer to the path by less
// than rounding: as they lead nowhere they are left out.
class Trail {
 public:
  // False when a part that matters starts somewhere else.
  bool add(const MovedPiece& part) {
    if (kept_.empty() || follows(kept_.back(), part)) {
      kept_.push_back(part);
      skipped_ = 0.0;
      return true;
    }
    double passed = 0.0;
    for (std::size_t n = kept_.size(); n > 0; --n) {
      if (follows(kept_[n - 1], part)) {
        kept_.resize(n);
        kept_.push_back(part);
        skipped_ = 0.0;
        return true;
      }
      passed += kept_[n - 1].segment.length();
      if (passed > tolerance::kShortestSegment.value()) break;
    }
    skipped_ += part.segment.length();
    return skipped_ <= tolerance::kShortestSegment.value();
  }
  [[nodiscard]] const std::vector<MovedPiece>& parts() const { return kept_; }

 private:
  static bool follows(const MovedPiece& one, const MovedPiece& two) {
    return distance(one.segment.b, two.segment.a) <= tolerance::kSamePoint.value();
  }
  std::vector<MovedPiece> kept_;
  double skipped_ = 0.0;  // length left out since the last part
};

// The parts of the moved run that keep their distance from the whole path, in order. They must follow each
// other.
Result<OpenArcPath> trace(const OpenArcPath& path, double left, const OffsetOptions& options) {
  // Besides the run itself the ends of the path may come too near: circles about them cut it too.
  const Vec2 reach{std::abs(left), 0.0};
  std::vector<ArcSegment> circles;
  for (Vec2 end : {path.vertices.front().at, path.vertices.back().at}) {
    circles.push_back({end - reach, end + reach, 1.0});
    circles.push_back({end + reach, end - reach, 1.0});
  }
  const std::vector<MovedPiece> parts =
      cut_at_contacts(moved_edges(path, Millimetres(-left), options), false, circles);
  const double least = std::abs(left) - 10.0 * tolerance::kNode.value();
  Trail kept;
  for (const MovedPiece& part : parts) {
    if (distance_to(path, part.segment.point_at(0.5)) < least) continue;
    if (part.segment.chord() < 2.0 * tolerance::kNode.value()) continue;
    // Mitres on both sides of something narrow may run over the same stretch.
    const auto same = [&](const MovedPiece& k) { return same_course(k.segment, part.segment); };
    if (std::any_of(kept.parts().begin(), kept.parts().end(), same)) continue;
    if (!kept.add(part)) return refuse("the parallel line falls apart", kept.parts().back().segment.b, left);
  }
  if (kept.parts().empty()) return refuse("nothing of the parallel line is left", path.vertices[0].at, left);
  OpenArcPath line;
  for (const MovedPiece& piece : merged(kept.parts(), false))
    line.vertices.push_back({piece.segment.a, piece.segment.bulge});
  line.vertices.push_back({kept.parts().back().segment.b, 0.0});
  return line;
}

}  // namespace

Result<OpenArcPath> offset_open(const OpenArcPath& path, Millimetres left, const OffsetOptions& options) {
  if (path.size() == 0)
    return Problem{Trouble::kGeometry, "a path without segments has no parallel", {}, {}, {}};
  if (!std::isfinite(left.value())) {
    return Problem{Trouble::kBadValue, "a distance that is not a finite number", {}, {}, {}};
  }
  if (left.value() == 0.0) return path;
  Result<OpenArcPath> line = trace(path, left.value(), options);
  if (line) return line;
  double fits = 0.0;
  double fails = 1.0;
  while (fails - fits > 1e-3) {
    const double middle = 0.5 * (fits + fails);
    (trace(path, middle * left.value(), options).ok() ? fits : fails) = middle;
  }
  Problem problem = line.problem();
  problem.limit = std::abs(left.value()) * fits;
  return problem;
}

}  // namespace lastwright
