#include "cli/drawings/roll_fill.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "geometry/fill/region_fill.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "geometry/lattice/outer_polygon.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kFilledTogether = 60;          // each sees all others: the work goes with the square
constexpr double kQuarter = 0.5 * std::numbers::pi;  // turn

// The roll runs along x here; on paper it runs along y.
Vec2 on_paper(Vec2 p, double width) {
  return {width - p.y, p.x};
}

struct Shaped {
  Vec2 middle;                 // of the box of the drawing
  std::vector<Polygon> parts;  // convex, of the grown outline, round the middle
  Polygon heart;               // the largest convex part of the outline, round the middle
};

// Where something of the drawing lies outside its outline, the box stands for it.
std::optional<Shaped> shaped(const RollDrawing& drawing, double gap) {
  constexpr Millimetres kRound{0.3};
  Shaped shape;
  const Box2 box = shape_bounds(drawing.sheet);
  shape.middle = box.centre();
  const ClosedArcPath own = placed(drawing.outline, Radians(0.0), -shape.middle);
  const Result<Polygon> inner = outer_polygon(own, kRound);
  if (!inner) return {};
  const Result<std::vector<Polygon>> inner_parts = convex_parts(*inner);
  if (!inner_parts || inner_parts->empty()) return {};
  shape.heart = *std::max_element(
      inner_parts->begin(), inner_parts->end(),
      [](const Polygon& one, const Polygon& other) { return signed_area(one) < signed_area(other); });
  const Vec2 half{0.5 * (box.width() + gap), 0.5 * (box.height() + gap)};
  const Box2 cut = bounds(own);
  const bool outside = cut.low.x > 0.5 * gap - half.x + 0.1 || cut.low.y > 0.5 * gap - half.y + 0.1 ||
                       cut.high.x < half.x - 0.5 * gap - 0.1 || cut.high.y < half.y - 0.5 * gap - 0.1;
  if (outside) {
    shape.parts = {{{-half.x, -half.y}, {half.x, -half.y}, {half.x, half.y}, {-half.x, half.y}}};
    return shape;
  }
  const Result<ClosedArcPath> grown = grown_by_half(own, Millimetres(gap));
  if (!grown) return {};
  const Result<Polygon> round = outer_polygon(*grown, kRound);
  if (!round) return {};
  Result<std::vector<Polygon>> parts = convex_parts(*round);
  if (!parts) return {};
  shape.parts = *std::move(parts);
  return shape;
}

// The title level on paper, in the middle of the part and no longer than the part is there.
SheetText title_in(const Polygon& heart, const std::string& title) {
  const Box2 box = bounds(heart);
  const double y = box.centre().y;
  double low = box.high.x;
  double high = box.low.x;
  for (std::size_t i = 0; i < heart.size(); ++i) {
    const Vec2 a = heart[i];
    const Vec2 b = heart[(i + 1) % heart.size()];
    if ((a.y - y) * (b.y - y) > 0.0 || a.y == b.y) continue;
    const double x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
    low = std::min(low, x);
    high = std::max(high, x);
  }
  const double height = std::min(2.5, 0.9 * (high - low) / std::max(1.0, text_width(title)));
  return {{low + 0.05 * (high - low), y - 0.5 * height}, height, Radians(0.0), title, Operation::kText};
}

// One batch from 0 on; empty where one of them found no room.
std::optional<Sheet> filled(const std::vector<const RollDrawing*>& drawings,
                            const std::vector<const Shaped*>& shapes, const RollOptions& options,
                            double& length) {
  // Half of the gap is kept to the edges of the strip by the grown shapes, and needs none there.
  const double half = 0.5 * options.gap;
  const Result<FillRegion> region = fill_region({{-half, -half},
                                                 {options.length + half, -half},
                                                 {options.length + half, options.width + half},
                                                 {-half, options.width + half}});
  if (!region) return {};
  const std::vector<FillRegion> regions{*region};
  std::vector<FillShape> fill;
  std::vector<FillItem> items;
  for (std::size_t i = 0; i < drawings.size(); ++i) {
    FillShape shape;
    shape.parts = shapes[i]->parts;
    shape.regions = {0};
    // Turned by -90 degrees from the paper to the strip.
    for (const int quarters : {3, 1, 0, 2}) {
      if (!drawings[i]->grain || quarters % 2 == 1) shape.turns.emplace_back(quarters * kQuarter);
    }
    fill.push_back(std::move(shape));
    items.push_back({i, {}});
  }
  RegionFill roll(regions, fill, {});
  std::optional<FillLayout> best;
  for (const std::vector<std::size_t>& order : fill_orders(fill, items)) {
    FillLayout one = roll.lay(items, order, true);
    if (one.laid == items.size() && (!best || one.right < best->right)) best = std::move(one);
  }
  if (!best) return {};
  Sheet sheet;
  length = best->right - half;
  for (std::size_t i = 0; i < drawings.size(); ++i) {
    const FillPlace& place = *best->places[i];
    const Radians turn(fill[i].turns[place.turn].value() + kQuarter);
    const Vec2 at = on_paper(place.at, options.width);
    Sheet drawing = drawings[i]->sheet;
    const std::vector<SheetText>& caption = drawings[i]->caption;
    drawing.texts.insert(drawing.texts.end(), caption.begin(), caption.end());
    append(sheet, placed(placed(drawing, Radians(0.0), -shapes[i]->middle), turn, at));
    if (!caption.empty()) continue;
    const Polygon heart = moved_parts(turned({shapes[i]->heart}, turn).parts, at).front();
    sheet.texts.push_back(title_in(heart, drawings[i]->sheet.title));
  }
  return sheet;
}

}  // namespace

std::optional<Sheet> roll_filled(const std::vector<RollDrawing>& drawings, const RollOptions& options) {
  std::vector<Shaped> shapes;
  for (const RollDrawing& drawing : drawings) {
    std::optional<Shaped> shape = shaped(drawing, options.gap);
    if (!shape) return {};
    shapes.push_back(*std::move(shape));
  }
  std::vector<std::size_t> order(drawings.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto size = [&](std::size_t i) {
    const Box2 box = shape_bounds(drawings[i].sheet);
    return box.width() * box.height();
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t one, std::size_t other) { return size(one) > size(other); });
  Sheet all;
  double from = 0.0;
  for (std::size_t first = 0; first < order.size(); first += kFilledTogether) {
    std::vector<const RollDrawing*> some;
    std::vector<const Shaped*> theirs;
    for (std::size_t k = first; k < std::min(order.size(), first + kFilledTogether); ++k) {
      some.push_back(&drawings[order[k]]);
      theirs.push_back(&shapes[order[k]]);
    }
    RollOptions rest = options;
    rest.length = options.length - from;
    double length = 0.0;
    const std::optional<Sheet> batch =
        rest.length > 0.0 ? filled(some, theirs, rest, length) : std::optional<Sheet>();
    if (!batch) return {};
    append(all, placed(*batch, Radians(0.0), {0.0, from}));
    from += length + options.gap;
  }
  if (!(from - options.gap < options.length)) return {};
  return all;
}

}  // namespace lastwright
