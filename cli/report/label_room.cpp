#include "cli/report/label_room.hpp"

#include <algorithm>

#include "geometry/check/segment_gap.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

constexpr double kClearOfLines = 0.6;   // mm from a letter to what is drawn
constexpr double kClearOfNet = 0.2;     // the edge that the label belongs to, and a thin line
constexpr double kClearOfGrain = 1.8;   // its arrow heads
constexpr double kClearOfLabels = 0.8;  // from one label to the next

Box2 box_of_segment(const ArcSegment& segment) {
  return bounds(OpenArcPath{{{segment.a, segment.bulge}, {segment.b, 0.0}}});
}

bool meet(const ClosedArcPath& box, const ArcSegment& segment, double clear) {
  if (contains(box, segment.a)) return true;
  for (std::size_t i = 0; i < box.size(); ++i) {
    if (gap_between(box.segment(i), segment).distance < clear) return true;
  }
  return false;
}

}  // namespace

bool meets(const ClosedArcPath& box, const ClosedArcPath& path, double clear) {
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (meet(box, path.segment(i), clear)) return true;
  }
  return false;
}

ClosedArcPath box_of(const SvgText& style, std::string_view text) {
  const double width = text_width(text) * style.height;
  const double left = style.anchor == Anchor::kStart    ? 0.0
                      : style.anchor == Anchor::kMiddle ? -0.5 * width
                                                        : -width;
  constexpr double kBelow = 0.3;  // of the height: descending letters
  const Vec2 along = turned({1.0, 0.0}, style.angle.value());
  const Vec2 up = left_of(along);
  const Vec2 low = style.at + left * along - kBelow * style.height * up;
  const Vec2 rise = (1.0 + kBelow) * style.height * up;
  return {{{low, 0.0}, {low + width * along, 0.0}, {low + width * along + rise, 0.0}, {low + rise, 0.0}}};
}

LabelRoom::LabelRoom(const GradedPiece& piece) : piece_(&piece) {
  add(piece.cut.path);
  for (const ClosedArcPath& cut_out : piece.cut_outs) {
    add(cut_out);
    taken_.push_back(cut_out);
  }
  for (std::size_t i = 0; i < piece.net.path.size(); ++i) {
    const ArcSegment segment = piece.net.path.segment(i);
    lines_.push_back({segment, box_of_segment(segment).grown(kClearOfNet), kClearOfNet});
  }
  for (const GradedLine& line : piece.lines)
    add(line.path, line.operation == Operation::kGrain ? kClearOfGrain : kClearOfLines);
  for (const SheetText& text : piece.texts) {
    if (text.operation != Operation::kSkive)
      take({.at = text.at, .height = text.height, .angle = text.angle}, text.text);
  }
}

void LabelRoom::add(const ClosedArcPath& path) {
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    lines_.push_back({segment, box_of_segment(segment).grown(kClearOfLines), kClearOfLines});
  }
}

void LabelRoom::add(const OpenArcPath& path, double clear) {
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    lines_.push_back({segment, box_of_segment(segment).grown(clear), clear});
  }
}

void LabelRoom::take(const SvgText& style, std::string_view text) {
  taken_.push_back(box_of(style, text));
}

bool LabelRoom::free(const SvgText& style, std::string_view text, bool inside) const {
  const ClosedArcPath box = box_of(style, text);
  if (inside != contains(piece_->net.path, box.vertices.front().at)) return false;
  const Box2 upright = bounds(box);
  for (const Line& line : lines_) {
    if (upright.overlaps(line.box) && meet(box, line.segment, line.clear)) return false;
  }
  for (const GradedHole& hole : piece_->holes) {
    const double clear = sheet_hole(hole).radius + kClearOfLines;
    if (contains(box, hole.centre) || distance_to(box, hole.centre) < clear) return false;
  }
  return std::none_of(taken_.begin(), taken_.end(), [&](const ClosedArcPath& other) {
    return upright.overlaps(bounds(other).grown(kClearOfLabels)) &&
           (contains(other, box.vertices.front().at) || meets(box, other, kClearOfLabels));
  });
}

}  // namespace lastwright
