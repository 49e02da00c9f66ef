#include "grading/checks/lasting/footprint.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/check/segment_gap.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

double between(const Box2& a, const Box2& b) {
  const double dx = std::max({0.0, a.low.x - b.high.x, b.low.x - a.high.x});
  const double dy = std::max({0.0, a.low.y - b.high.y, b.low.y - a.high.y});
  return norm({dx, dy});
}

template <class Path>
Box2 box_of(const Path& path) {
  Box2 box;
  for (std::size_t i = 0; i < path.size(); ++i) box.add(loose_bounds(path.segment(i)));
  return box;
}

// How far the nodes, middles and quarters of `one` reach into `other`.
FootprintGap reach_into(const Footprint& one, const Footprint& other) {
  FootprintGap deepest;
  for (std::size_t i = 0; i < one.size(); ++i) {
    for (const double t : {0.0, 0.25, 0.5, 0.75, 1.0}) {
      const Vec2 p = one.segment(i).point_at(t);
      if (!other.holds(p)) continue;
      const double depth = other.distance_from(p);
      if (depth > deepest.value) deepest = {depth, p};
    }
  }
  return deepest;
}

FootprintGap gap_of_paths(const Footprint& one, const Footprint& other) {
  FootprintGap best{std::numeric_limits<double>::infinity(), {}};
  std::vector<Box2> boxes;
  boxes.reserve(other.size());
  for (std::size_t k = 0; k < other.size(); ++k) boxes.push_back(loose_bounds(other.segment(k)));
  for (std::size_t i = 0; i < one.size(); ++i) {
    const ArcSegment a = one.segment(i);
    const Box2 box = loose_bounds(a);
    for (std::size_t k = 0; k < other.size(); ++k) {
      if (between(box, boxes[k]) >= best.value) continue;
      const ArcSegment b = other.segment(k);
      const SegmentGap gap = gap_between(a, b);
      if (gap.distance < best.value)
        best = {gap.distance, lerp(a.point_at(gap.t_first), b.point_at(gap.t_second), 0.5)};
    }
  }
  const bool apart = best.value > tolerance::kSamePoint.value();
  if (apart && !other.holds(one.segment(0).a) && !one.holds(other.segment(0).a)) return best;
  const FootprintGap in_other = reach_into(one, other);
  const FootprintGap in_one = reach_into(other, one);
  const FootprintGap& deepest = in_other.value >= in_one.value ? in_other : in_one;
  if (deepest.value <= tolerance::kSamePoint.value()) return {apart ? -best.value : 0.0, best.at};
  return {-deepest.value, deepest.at};
}

}  // namespace

Footprint Footprint::round(FootprintKind kind, std::uint16_t feature, Vec2 centre, double radius) {
  Footprint one;
  one.kind_ = kind;
  one.feature_ = feature;
  one.centre_ = centre;
  one.radius_ = radius;
  one.box_ = Box2{centre, centre}.grown(radius);
  return one;
}

Footprint Footprint::closed(FootprintKind kind, std::uint16_t feature, const ClosedArcPath& boundary) {
  Footprint one;
  one.kind_ = kind;
  one.feature_ = feature;
  one.closed_ = &boundary;
  one.box_ = box_of(boundary);
  return one;
}

Footprint Footprint::line(FootprintKind kind, std::uint16_t feature, const OpenArcPath& line) {
  Footprint one;
  one.kind_ = kind;
  one.feature_ = feature;
  one.line_ = &line;
  one.box_ = box_of(line);
  return one;
}

std::size_t Footprint::size() const {
  return closed_ != nullptr ? closed_->size() : line_ != nullptr ? line_->size() : 0;
}

ArcSegment Footprint::segment(std::size_t i) const {
  return closed_ != nullptr ? closed_->segment(i) : line_->segment(i);
}

double Footprint::distance_from(Vec2 p) const {
  if (is_round()) return distance(p, centre_);
  if (!measured_) measured_ = closed_ != nullptr ? MeasuredOutline(*closed_) : MeasuredOutline(*line_);
  const MeasuredOutline::Nearest nearest = measured_->nearest(p, hint_);
  hint_ = nearest.arc;
  return nearest.distance;
}

bool Footprint::holds(Vec2 p) const {
  return closed_ != nullptr && contains(*closed_, p);
}

FootprintGap gap_between(const Footprint& one, const Footprint& other) {
  if (other.is_round() && !one.is_round()) return gap_between(other, one);
  if (!one.is_round()) return gap_of_paths(one, other);
  const Vec2 centre = one.centre();
  if (other.is_round())
    return {distance(centre, other.centre()) - one.radius() - other.radius(),
            lerp(centre, other.centre(), 0.5)};
  const double off = other.distance_from(centre);
  return {(other.holds(centre) ? -off : off) - one.radius(), centre};
}

double box_gap(const Footprint& one, const Footprint& other) {
  return between(one.box(), other.box());
}

ClosedArcPath text_box(const SheetText& text) {
  constexpr double kLetter = 0.65;
  // Bytes that go on with a letter of several bytes are no letters.
  const auto letters = std::count_if(text.text.begin(), text.text.end(),
                                     [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
  const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
  const Vec2 x = kLetter * text.height * static_cast<double>(letters) * along;
  const Vec2 y = text.height * left_of(along);
  return {{{text.at, 0.0}, {text.at + x, 0.0}, {text.at + x + y, 0.0}, {text.at + y, 0.0}}};
}

namespace {

class Collector {
 public:
  explicit Collector(Footprints& into) : into_(into) {}

  void hole(const GradedHole& hole, std::uint16_t feature) {
    into_.all.push_back(Footprint::round(hole.radius > 0.0 ? FootprintKind::kHole : FootprintKind::kPrick,
                                         feature, hole.centre, hole.radius));
  }
  void cut_out(const ClosedArcPath& path, std::uint16_t feature) {
    if (path.size() > 0) into_.all.push_back(Footprint::closed(FootprintKind::kCutOut, feature, path));
  }
  void line(const GradedLine& line, std::uint16_t feature, bool drawn, bool frame) {
    if (line.path.size() == 0) return;
    FootprintKind kind = FootprintKind::kGuide;
    switch (line.operation) {
      case Operation::kStitch:
        kind = FootprintKind::kStitch;
        break;
      case Operation::kLapGuide:
        kind = FootprintKind::kLapGuide;
        break;
      case Operation::kSkive:
        kind = FootprintKind::kSkive;
        break;
      case Operation::kNick:
        kind = FootprintKind::kNick;
        break;
      case Operation::kGrain:
        return;
      case Operation::kFold:
        if (drawn) return;  // the fold of the piece itself
        break;
      default:
        if (frame) kind = FootprintKind::kFrame;
    }
    into_.all.push_back(Footprint::line(kind, feature, line.path));
  }
  void text(const SheetText& text, std::uint16_t feature) {
    if (text.text.empty() || text.operation == Operation::kSkive) return;
    into_.boxes.push_back(text_box(text));
    into_.all.push_back(Footprint::closed(FootprintKind::kText, feature, into_.boxes.back()));
  }

 private:
  Footprints& into_;
};

}  // namespace

Footprints footprints_of(const GradedPiece& piece, const PieceSpec& spec,
                         const std::vector<PlacedFeature>& features) {
  Footprints found;
  Collector add(found);
  for (std::size_t f = 0; f < features.size(); ++f) {
    const auto index = static_cast<std::uint16_t>(f);
    const bool frame = std::holds_alternative<PairNumberWork>(spec.features[f].work);
    for (const GradedHole& hole : features[f].holes) add.hole(hole, index);
    for (const ClosedArcPath& path : features[f].cut_outs) add.cut_out(path, index);
    for (const GradedLine& line : features[f].lines) add.line(line, index, false, frame);
    for (const PlacedNick& nick : features[f].nicks)
      found.all.push_back(Footprint::line(FootprintKind::kNick, index, nick.path));
    for (const SheetText& text : features[f].texts) add.text(text, index);
  }
  const auto drawn = static_cast<std::uint16_t>(features.size());
  for (const GradedHole& hole : piece.holes) add.hole(hole, drawn);
  for (const ClosedArcPath& path : piece.cut_outs) add.cut_out(path, drawn);
  for (const GradedLine& line : piece.lines) add.line(line, drawn, true, false);
  for (const SheetText& text : piece.texts) add.text(text, drawn);
  return found;
}

}  // namespace lastwright
