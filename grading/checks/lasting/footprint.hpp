// What features and drawn things take of a piece: the material they remove or the mark they leave.
//
// Everything that is judged against something else on the piece is one of these: a round one (a hole, a
// prick), a closed boundary with what lies in it (a slot, a cut-out, the box of a text), or a line.
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <vector>

#include "geometry/check/hausdorff.hpp"
#include "geometry/curve/arc_path.hpp"
#include "grading/features/feature_place.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

enum class FootprintKind : std::uint8_t {
  kHole,    // round, punched
  kCutOut,  // slots, slots of buckle bars, drawn cut-outs
  kNick,
  kPrick,     // round, without size
  kStitch,    // stitch lines, drawn sew lines
  kLapGuide,  // where a neighbour's edge lies
  kGuide,     // drawn internal lines, fold lines
  kSkive,
  kFrame,  // of a pair number
  kText,
};

class Footprint {
 public:
  static Footprint round(FootprintKind kind, std::uint16_t feature, Vec2 centre, double radius);
  // The paths must outlive it.
  static Footprint closed(FootprintKind kind, std::uint16_t feature, const ClosedArcPath& boundary);
  static Footprint line(FootprintKind kind, std::uint16_t feature, const OpenArcPath& line);

  [[nodiscard]] FootprintKind kind() const { return kind_; }
  [[nodiscard]] std::uint16_t feature() const { return feature_; }
  [[nodiscard]] bool is_round() const { return closed_ == nullptr && line_ == nullptr; }
  [[nodiscard]] Vec2 centre() const { return centre_; }  // round ones
  [[nodiscard]] double radius() const { return radius_; }
  [[nodiscard]] const ClosedArcPath* boundary() const { return closed_; }
  [[nodiscard]] const OpenArcPath* path() const { return line_; }
  [[nodiscard]] const Box2& box() const { return box_; }
  [[nodiscard]] std::size_t size() const;  // segments of the boundary or line
  [[nodiscard]] ArcSegment segment(std::size_t i) const;
  // From p to the boundary or line.
  [[nodiscard]] double distance_from(Vec2 p) const;
  // Of a closed one; others hold nothing.
  [[nodiscard]] bool holds(Vec2 p) const;

 private:
  FootprintKind kind_ = FootprintKind::kHole;
  std::uint16_t feature_ = 0;  // index of the piece's feature; their number for what is drawn
  Vec2 centre_;
  double radius_ = 0.0;
  const ClosedArcPath* closed_ = nullptr;
  const OpenArcPath* line_ = nullptr;
  Box2 box_;
  mutable std::optional<MeasuredOutline> measured_;  // made at the first question
  mutable std::size_t hint_ = 0;
};

// What lies between two footprints, and where. Below 0 they overlap: by how far the one reaches into the
// other, at its nodes, middles and quarters. Exact where they do not. Precondition: not two lines.
struct FootprintGap {
  double value = 0.0;
  Vec2 at;
};
FootprintGap gap_between(const Footprint& one, const Footprint& other);
// No gap is smaller than what lies between the boxes.
double box_gap(const Footprint& one, const Footprint& other);

// The box a text fills, roughly: letters are 0.65 of the height of a capital wide on average.
ClosedArcPath text_box(const SheetText& text);

// Of all features of a piece and of what is drawn in it; grain, fold lines and the labels of skive bands
// left out: they may lie anywhere.
struct Footprints {
  std::vector<Footprint> all;
  std::deque<ClosedArcPath> boxes;  // of texts; a deque does not move what it holds
};
// Both must outlive the result. `piece`: with its cut line, without the features.
Footprints footprints_of(const GradedPiece& piece, const PieceSpec& spec,
                         const std::vector<PlacedFeature>& features);

}  // namespace lastwright
