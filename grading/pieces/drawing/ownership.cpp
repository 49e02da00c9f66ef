#include "grading/pieces/drawing/ownership.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/crossing_lines.hpp"
#include "grading/pieces/drawing/outline_group.hpp"
#include "grading/pieces/first/first_names.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostSamples = 32;  // of one thing: it is told by them whether an outline holds it

using DrawnFrame = std::pair<std::string_view, std::size_t>;  // block, insertion
using DrawnLayer = std::tuple<std::string_view, std::size_t, std::string_view>;

DrawnFrame frame_of(const DrawnFrom& from) {
  return {from.block, from.insert};
}

std::vector<Vec2> rim(const DrawnCircle& circle) {
  std::vector<Vec2> points{circle.centre};
  for (const Vec2 d : {Vec2{1, 0}, {0, 1}, {-1, 0}, {0, -1}})
    points.push_back(circle.centre + circle.radius * d);
  return points;
}

std::vector<Vec2> samples(const PatternContour& contour) {
  std::vector<Vec2> all = contour.polygon;
  if (all.empty()) {
    for (const Curve& curve : contour.contour.raw.curves) {
      all.push_back(start_of(curve));
      all.push_back(point_at(curve, 0.5));
    }
    all.push_back(end_of(contour.contour.raw.curves.back()));
  }
  if (all.size() <= kMostSamples) return all;
  std::vector<Vec2> some;
  for (std::size_t i = 0; i < kMostSamples; ++i)
    some.push_back(all[i * (all.size() - 1) / (kMostSamples - 1)]);
  return some;
}

std::vector<Vec2> samples(const PatternDrawing& drawing, DrawnThing thing) {
  switch (thing.kind) {
    case DrawnKind::kContour:
      return samples(drawing.contours[thing.index]);
    case DrawnKind::kCircle:
      return rim(drawing.drawing.circles[thing.index]);
    case DrawnKind::kPoint:
      return {drawing.drawing.points[thing.index].at};
    case DrawnKind::kText:
      return {drawing.drawing.texts[thing.index].at};
  }
  return {};
}

class OwnerFinder {
 public:
  OwnerFinder(const PatternDrawing& drawing, const std::set<std::size_t>& outlines) : drawing_(drawing) {
    std::vector<std::size_t> sheet;
    std::vector<std::size_t> in_blocks;
    std::map<DrawnFrame, std::vector<std::size_t>> frames;
    std::map<DrawnLayer, std::vector<std::size_t>> layers;
    for (const std::size_t i : outlines) {
      const DrawnFrom& from = drawing.contours[i].contour.from;
      frames[frame_of(from)].push_back(i);
      layers[{from.block, from.insert, from.layer}].push_back(i);
      (from.block.empty() ? sheet : in_blocks).push_back(i);
      shapes_.emplace(i, std::make_shared<OutlineShape>(drawing.contours[i]));
    }
    const auto group = [&](const std::vector<std::size_t>& which) {
      std::vector<OutlineGroup::Member> members;
      for (const std::size_t i : which) members.push_back({i, shapes_.at(i).get()});
      return OutlineGroup(std::move(members));
    };
    for (const auto& [frame, which] : frames) frames_.emplace(frame, group(which));
    for (const auto& [key, which] : layers) layers_.emplace(key, group(which));
    for (const auto& [key, which] : layers) {
      if (!std::get<0>(key).empty() || which.size() != 1) continue;
      if (const std::string name = plain_name(std::string(std::get<2>(key))); !name.empty())
        named_[name].push_back(which.front());
    }
    sheet_ = group(sheet);
    in_blocks_ = group(in_blocks);
  }

  [[nodiscard]] Owner owner(DrawnThing thing) const {
    const DrawnFrom& from = from_of(drawing_, thing);
    const bool in_frame = !from.block.empty() && frames_.contains(frame_of(from));
    const OutlineGroup& frame = in_frame ? frames_.at(frame_of(from)) : sheet_;
    if (in_frame && frame.size() == 1) return {frame.only(), {}};
    const auto layer = layers_.find(in_frame ? DrawnLayer{from.block, from.insert, from.layer}
                                             : DrawnLayer{"", 0, from.layer});
    if (layer == layers_.end()) {
      if (const auto named = in_frame ? std::nullopt : of_its_name(thing)) return {*named, {}};
      const Owner here = by_place(thing, frame);
      if (here.outline || in_frame || thing.kind == DrawnKind::kText) return here;
      return by_place(thing, in_blocks_);
    }
    if (layer->second.size() > 1) return by_place(thing, layer->second);
    const std::size_t only = layer->second.only();
    if (thing.kind == DrawnKind::kText &&
        !drawing_.contours[only].box.overlaps(box_at(place_of(drawing_, thing))))
      return {};
    return {only, {}};
  }

 private:
  static Box2 box_at(Vec2 p) { return {p, p}; }

  // The only outline that holds the text and has the layer of that name for itself.
  [[nodiscard]] std::optional<std::size_t> of_its_name(DrawnThing thing) const {
    if (thing.kind != DrawnKind::kText) return std::nullopt;
    const DrawnText& text = drawing_.drawing.texts[thing.index];
    const auto named = named_.find(plain_name(text.text));
    if (named == named_.end()) return std::nullopt;
    std::optional<std::size_t> found;
    for (const std::size_t outline : named->second) {
      if (!shapes_.at(outline)->holds(text.at)) continue;
      if (found) return std::nullopt;
      found = outline;
    }
    return found;
  }

  [[nodiscard]] Owner by_place(DrawnThing thing, const OutlineGroup& group) const {
    const std::vector<Vec2> points = samples(drawing_, thing);
    const bool notch =
        drawing_.role(from_of(drawing_, thing)) == LayerRole::kNotches && thing.kind != DrawnKind::kText;
    if (notch || may_be_edge_line(thing)) {
      const Owner on_edge = group.smallest_with(
          points, [&](const OutlineShape& shape, Vec2 p) { return shape.near_edge(p); }, OutlineGroup::kAny);
      if (on_edge.outline) return on_edge;
    }
    const auto holds = [](const OutlineShape& shape, Vec2 p) { return shape.holds(p); };
    const Owner whole = group.smallest_with(points, holds, OutlineGroup::kEvery);
    if (whole.outline) return whole;
    return {group.smallest_with(points, holds, OutlineGroup::kAny).outline, {}};
  }

  // Of lines that the drawing says are nicks, or mean nothing, where they stand on an edge.
  [[nodiscard]] bool may_be_edge_line(DrawnThing thing) const {
    if (drawing_.spec.edge_lines.empty() || thing.kind != DrawnKind::kContour) return false;
    const PatternContour& one = drawing_.contours[thing.index];
    return one.role == LayerRole::kBoundary && !one.contour.closed &&
           std::hypot(one.box.width(), one.box.height()) <= kMostDrawnNick;
  }

  const PatternDrawing& drawing_;
  std::map<std::size_t, std::shared_ptr<OutlineShape>> shapes_;
  std::map<DrawnFrame, OutlineGroup> frames_;
  std::map<DrawnLayer, OutlineGroup> layers_;
  std::map<std::string, std::vector<std::size_t>> named_;  // on the sheet, by the name of their own layer
  OutlineGroup sheet_;
  OutlineGroup in_blocks_;
};

// Of a layer that the style calls a piece's outline without
// calling it a boundary, every closed contour is one.
std::set<std::size_t> outlines_in(const PatternDrawing& drawing, const std::set<std::size_t>& used,
                                  const std::map<std::size_t, std::size_t>& crossing) {
  std::set<DrawnLayer> own_layers;
  for (const std::size_t i : used) {
    const DrawnFrom& from = drawing.contours[i].contour.from;
    own_layers.insert({from.block, from.insert, from.layer});
  }
  std::set<std::size_t> outlines = used;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) {
    const PatternContour& contour = drawing.contours[i];
    const DrawnFrom& from = contour.contour.from;
    if (!contour.contour.closed || contour.inner || crossing.contains(i)) continue;
    if (contour.role == LayerRole::kBoundary || own_layers.contains({from.block, from.insert, from.layer}))
      outlines.insert(i);
  }
  return outlines;
}

}  // namespace

Owners::Owners(const PatternDrawing& drawing, const std::set<std::size_t>& used) {
  const std::map<std::size_t, std::size_t> crossing = crossing_lines(drawing, used);
  outlines_ = outlines_in(drawing, used, crossing);
  const OwnerFinder finder(drawing, outlines_);
  owners_[static_cast<std::size_t>(DrawnKind::kContour)].resize(drawing.contours.size());
  owners_[static_cast<std::size_t>(DrawnKind::kCircle)].resize(drawing.drawing.circles.size());
  owners_[static_cast<std::size_t>(DrawnKind::kPoint)].resize(drawing.drawing.points.size());
  owners_[static_cast<std::size_t>(DrawnKind::kText)].resize(drawing.drawing.texts.size());
  for (const DrawnThing thing : things_in(drawing)) {
    if (thing.kind == DrawnKind::kContour && is_outline(thing.index)) continue;
    Owner& owner = owners_[static_cast<std::size_t>(thing.kind)][thing.index];
    const auto crossed = thing.kind == DrawnKind::kContour ? crossing.find(thing.index) : crossing.end();
    owner = crossed != crossing.end() ? Owner{crossed->second, {}} : finder.owner(thing);
    if (owner.outline) things_[*owner.outline].push_back(thing);
  }
}

const Owner& Owners::of(DrawnThing thing) const {
  return owners_[static_cast<std::size_t>(thing.kind)].at(thing.index);
}

const std::vector<DrawnThing>& Owners::things_of(std::size_t outline) const {
  static const std::vector<DrawnThing> kNone;
  const auto found = things_.find(outline);
  return found == things_.end() ? kNone : found->second;
}

std::vector<DrawnThing> things_in(const PatternDrawing& drawing) {
  std::vector<DrawnThing> things;
  for (std::size_t i = 0; i < drawing.contours.size(); ++i) things.push_back({DrawnKind::kContour, i});
  for (std::size_t i = 0; i < drawing.drawing.circles.size(); ++i) {
    if (is_punched(drawing, drawing.drawing.circles[i])) things.push_back({DrawnKind::kCircle, i});
  }
  for (std::size_t i = 0; i < drawing.drawing.points.size(); ++i) things.push_back({DrawnKind::kPoint, i});
  for (std::size_t i = 0; i < drawing.drawing.texts.size(); ++i) things.push_back({DrawnKind::kText, i});
  return things;
}

const DrawnFrom& from_of(const PatternDrawing& drawing, DrawnThing thing) {
  switch (thing.kind) {
    case DrawnKind::kContour:
      return drawing.contours[thing.index].contour.from;
    case DrawnKind::kCircle:
      return drawing.drawing.circles[thing.index].from;
    case DrawnKind::kPoint:
      return drawing.drawing.points[thing.index].from;
    case DrawnKind::kText:
      break;
  }
  return drawing.drawing.texts[thing.index].from;
}

Vec2 place_of(const PatternDrawing& drawing, DrawnThing thing) {
  switch (thing.kind) {
    case DrawnKind::kContour:
      return start_of(drawing.contours[thing.index].contour.raw.curves.front());
    case DrawnKind::kCircle:
      return drawing.drawing.circles[thing.index].centre;
    case DrawnKind::kPoint:
      return drawing.drawing.points[thing.index].at;
    case DrawnKind::kText:
      break;
  }
  return drawing.drawing.texts[thing.index].at;
}

}  // namespace lastwright
