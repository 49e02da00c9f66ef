#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/curve/intersect.hpp"
#include "geometry/offset/moved.hpp"
#include "geometry/offset/offset.hpp"
#include "geometry/offset/run_parts.hpp"
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
// than rounding: as they lead nowhere they are left out. (An end of length l behind the crossing comes nearer
// by about l l / 2 d, so that one longer than the shortest segment is far beyond rounding for any distance d
// up to a metre.)
class Trail {
 public:
  // False when a part that matters starts somewhere else. `runs_on`: the part lies only on what its edge runs
  // on beyond its ends, and does not matter by itself.
  bool add(const MovedPiece& part, bool runs_on) {
    if (only_runs_on_ && !kept_.empty() && !runs_on &&
        distance(kept_.back().segment.b, part.segment.a) > reach())
      kept_.clear();
    std::size_t since = kept_.size();  // the first of the parts behind the earliest end that this one follows
    double passed = 0.0;
    bool follows = kept_.empty();
    for (std::size_t n = kept_.size(); n > 0 && passed <= tolerance::kShortestSegment.value(); --n) {
      if (distance(kept_[n - 1].segment.b, part.segment.a) <= reach()) {
        follows = true;
        since = n;
      }
      passed += kept_[n - 1].segment.length();
    }
    if (!follows) {
      if (runs_on) return true;
      skipped_ += part.segment.length();
      return skipped_ <= tolerance::kShortestSegment.value();
    }
    kept_.resize(since);
    kept_.push_back(part);
    only_runs_on_ = only_runs_on_ && runs_on;
    skipped_ = 0.0;
    return true;
  }
  [[nodiscard]] const std::vector<MovedPiece>& parts() const { return kept_; }

 private:
  static double reach() { return tolerance::kSamePoint.value(); }

  std::vector<MovedPiece> kept_;
  bool only_runs_on_ = true;
  double skipped_ = 0.0;  // length left out since the last part
};

// What cuts the moved run besides itself: lines on which the other side or an end of the path comes too near.
std::vector<ArcSegment> limits_of(const std::vector<MovedPiece>& other_side, const OpenArcPath& path,
                                  double distance) {
  std::vector<ArcSegment> limits;
  limits.reserve(other_side.size() + 4);
  for (const MovedPiece& piece : other_side) limits.push_back(piece.segment);
  const Vec2 reach{distance, 0.0};
  for (Vec2 end : {path.vertices.front().at, path.vertices.back().at}) {
    limits.push_back({end - reach, end + reach, 1.0});
    limits.push_back({end + reach, end - reach, 1.0});
  }
  return limits;
}

// The arcs about the corners of the path within which mitres are built.
std::vector<ArcSegment> corner_arcs(const std::vector<MovedPiece>& rounded) {
  std::vector<ArcSegment> arcs;
  for (const MovedPiece& piece : rounded) {
    if (piece.source.corner && !piece.segment.straight()) arcs.push_back(piece.segment);
  }
  return arcs;
}

// Tells whether points keep a distance from a path.
class Clearance {
 public:
  Clearance(const OpenArcPath& path, double least) : path_(path), least_(least) {
    reach_.reserve(path.size());
    for (std::size_t i = 0; i < path.size(); ++i)
      reach_.push_back(loose_bounds(path.segment(i)).grown(least + tolerance::kRoot.value()));
  }

  [[nodiscard]] bool keeps(Vec2 p) const {
    for (std::size_t i = 0; i < reach_.size(); ++i) {
      const Box2& box = reach_[i];
      if (p.x < box.low.x || p.x > box.high.x || p.y < box.low.y || p.y > box.high.y) continue;
      if (path_.segment(i).distance_to(p) < least_) return false;
    }
    return true;
  }

 private:
  const OpenArcPath& path_;
  double least_;
  std::vector<Box2> reach_;  // what is outside keeps its distance from the segment
};

// Whether a part of the run keeps its distance all along;
// inside another corner's mitre it may lose it on the way.
bool keeps_distance(const ArcSegment& part, const Clearance& clearance, std::span<const ArcSegment> arcs) {
  const Box2 box = loose_bounds(part);
  const auto crosses = [&](const ArcSegment& arc) { return loose_bounds(arc).overlaps(box); };
  if (std::none_of(arcs.begin(), arcs.end(), crosses)) return clearance.keeps(part.point_at(0.5));
  std::vector<double> changes{0.0};
  for (const ArcSegment& arc : arcs) {
    if (!crosses(arc)) continue;
    for (const Contact& c : contacts(part, arc, tolerance::kNode.value())) changes.push_back(c.on_one);
  }
  std::sort(changes.begin(), changes.end());
  changes.push_back(1.0);
  for (std::size_t i = 0; i + 1 < changes.size(); ++i) {
    if (!clearance.keeps(part.point_at(0.5 * (changes[i] + changes[i + 1])))) return false;
  }
  return true;
}

// Whether a part of the run lies beyond the ends of the edge it comes from: on its way to a mitre.
bool beyond_its_edge(const MovedPiece& part, const ArcSegment& edge) {
  if (!part.segment.straight()) return false;
  if (part.source.corner || !edge.straight()) return true;
  const Vec2 along = unit(edge.b - edge.a);
  const double from = dot(part.segment.a - edge.a, along);
  const double to = dot(part.segment.b - edge.a, along);
  return std::min(to, edge.chord()) - std::max(from, 0.0) < tolerance::kSamePoint.value();
}

// The parts of the moved run that keep their distance from
// the whole path, in order. They must follow each other.
Result<OpenArcPath> trace(const OpenArcPath& path, double left, const OffsetOptions& options) {
  OffsetOptions round;
  round.corner = OffsetCorner::kRound;
  const std::vector<ArcSegment> limits =
      limits_of(open_run(path, Millimetres(left), round), path, std::abs(left));
  const std::vector<ArcSegment> arcs = corner_arcs(open_run(path, Millimetres(-left), round));
  const std::vector<MovedPiece> parts = cut_at_contacts(open_run(path, Millimetres(-left), options), limits);
  const Clearance clearance(path, std::abs(left) - 10.0 * tolerance::kNode.value());
  Trail kept;
  for (const MovedPiece& part : parts) {
    if (part.segment.chord() < 2.0 * tolerance::kNode.value()) continue;
    if (!keeps_distance(part.segment, clearance, arcs)) continue;
    // Mitres on both sides of something narrow may run over the same stretch.
    const auto same = [&](const MovedPiece& k) { return same_course(k.segment, part.segment); };
    if (std::any_of(kept.parts().begin(), kept.parts().end(), same)) continue;
    if (!kept.add(part, beyond_its_edge(part, path.segment(part.source.segment))))
      return refuse("the parallel line falls apart", kept.parts().back().segment.b, left);
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
