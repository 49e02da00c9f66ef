// How far two outlines of lines and arcs lie apart: the
// two-sided Hausdorff distance, certified, and per label.
//
// The distance of a label is the greater of: how far a point of that label's segments of one outline can be
// from the other outline, and the same with the outlines exchanged. Nothing is sampled: each segment is
// halved until the greatest distance over every part is known by formula (the distance to an arc along an arc
// has its extremes at the ends and on the line of centres) or cannot beat what was already met by more than
// `precision`. Guarantee: value <= true distance <= value + precision (+ 2e-7 where an arc of a bow below
// 1e-7 was taken as straight).
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

// A segment of at most a quarter turn, made ready for distances without trigonometry.
struct ReadyArc {
  Vec2 a;
  Vec2 b;
  Vec2 centre;          // arcs only
  double radius = 0.0;  // arcs only
  double turn = 0.0;    // +1 left, -1 right, 0 straight
  double length = 0.0;
  Box2 box;
  std::uint16_t label = 0;
};

// An outline (or any set of segments) ready to be measured against many others.
class MeasuredOutline {
 public:
  MeasuredOutline() = default;
  // `labels`: one per segment, or empty for label 0 everywhere.
  explicit MeasuredOutline(const ClosedArcPath& path, std::span<const std::uint16_t> labels = {});
  explicit MeasuredOutline(const OpenArcPath& path, std::uint16_t label = 0);

  [[nodiscard]] const std::vector<ReadyArc>& arcs() const { return arcs_; }
  [[nodiscard]] const Box2& box() const { return box_; }
  [[nodiscard]] std::uint16_t label_count() const { return label_count_; }

  struct Nearest {
    double distance = std::numeric_limits<double>::infinity();
    std::size_t arc = 0;
  };
  // The nearest arc to p. `hint` is tried first: a good one makes the search short, a bad one never wrong.
  [[nodiscard]] Nearest nearest(Vec2 p, std::size_t hint = 0) const;
  // Of an arc and the two beside it the nearest to p: a good hint where the nearest moves along.
  [[nodiscard]] Nearest nearest_beside(Vec2 p, std::size_t arc) const;
  static constexpr std::size_t kBlock = 8;
  [[nodiscard]] const std::vector<Box2>& blocks() const { return blocks_; }
  // The same outline turned about the origin and then moved.
  [[nodiscard]] MeasuredOutline placed(Radians angle, Vec2 shift) const;

 private:
  void add(const ArcSegment& segment, std::uint16_t label);
  void make_blocks();
  std::vector<ReadyArc> arcs_;
  std::vector<Box2> blocks_;  // of kBlock arcs each: one look may spare eight
  Box2 box_;
  std::uint16_t label_count_ = 0;
};

double distance_to(const ReadyArc& arc, Vec2 p);
// The point of the arc nearest to p.
Vec2 foot_on(const ReadyArc& arc, Vec2 p);

struct HausdorffOptions {
  Millimetres precision{1e-4};
  // Stop as soon as any label is known to exceed its limit
  // (empty: never). The values are then lower bounds only.
  std::span<const double> limits;
  // Distances of a label up to its floor need not be told apart (empty: all must): the guarantee for that
  // label is then true distance <= max(value, floor) + precision. Saves most of the search when only the
  // worst label counts.
  std::span<const double> floors;
};

struct LabelDistance {
  double value = 0.0;  // reached between `from` and `to`
  Vec2 from;
  Vec2 to;
};

struct HausdorffResult {
  std::vector<LabelDistance> labels;  // by label; 0 for labels without segments
  double value = 0.0;                 // greatest of them
  double precision = 0.0;             // the true distance is at most value + precision
  bool stopped = false;               // a limit was exceeded and the rest was not searched
};

HausdorffResult hausdorff(const MeasuredOutline& one, const MeasuredOutline& other,
                          const HausdorffOptions& options = {});

// One side only: how far points of `one` can be from `other`.
HausdorffResult directed_hausdorff(const MeasuredOutline& one, const MeasuredOutline& other,
                                   const HausdorffOptions& options = {});

}  // namespace lastwright
