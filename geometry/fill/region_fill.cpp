#include "geometry/fill/region_fill.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

namespace lastwright {

namespace {

// Pictures and what they know by heart: more than this and those of other shapes are drawn anew when needed.
constexpr std::size_t kMostKept = 2'000;

constexpr double kAlike = 1e-6;  // mm: no cutter tells them apart

struct ShapeSize {
  double area = 0.0;
  double length = 0.0;
  double width = 0.0;
};

ShapeSize size_of(const FillShape& shape) {
  ShapeSize size;
  const TurnedShape as_is = turned(shape.parts, shape.turns.front());
  const Box2 box = bounds(as_is.hull);
  for (const Polygon& part : shape.parts) size.area += signed_area(part);
  size.length = std::max(box.width(), box.height());
  size.width = std::min(box.width(), box.height());
  return size;
}

}  // namespace

FreePlaces& RegionFill::free_places(std::size_t shape, std::size_t region, std::size_t turn) {
  const auto key = std::tuple(shape, region, turn);
  auto found = kept_.find(key);
  if (found == kept_.end()) {
    if (kept_.size() >= kMostKept)
      std::erase_if(kept_, [&](const auto& one) { return std::get<0>(one.first) != shape; });
    std::optional<Box2> only;
    if (!shapes_[shape].within.empty()) only = shapes_[shape].within[turn];
    FreePlaces places(turned(shapes_[shape].parts, shapes_[shape].turns[turn]), regions_[region],
                      options_.cells, only);
    if (!shapes_[shape].kept_out.empty()) places.forbid(shapes_[shape].kept_out);
    found = kept_.emplace(key, Kept{std::move(places), 0}).first;
  }
  Kept& kept = found->second;
  for (; kept.known < laid_.size(); ++kept.known) kept.places.forbid(laid_[kept.known]);
  return kept.places;
}

const std::vector<std::size_t>& RegionFill::from_the_left(std::size_t shape) {
  turns_.resize(shapes_.size());
  rights_.resize(shapes_.size());
  const FillShape& spec = shapes_[shape];
  std::vector<std::size_t>& turns = turns_[shape];
  if (!turns.empty()) return turns;
  turns.resize(spec.turns.size());
  std::iota(turns.begin(), turns.end(), std::size_t{0});
  if (spec.within.empty()) return turns;
  std::vector<double>& rights = rights_[shape];
  for (const Radians turn : spec.turns) rights.push_back(bounds(turned(spec.parts, turn).hull).high.x);
  std::stable_sort(turns.begin(), turns.end(), [&](std::size_t a, std::size_t b) {
    return spec.within[a].low.x + rights[a] < spec.within[b].low.x + rights[b];
  });
  return turns;
}

std::size_t RegionFill::obstacles() const {
  std::size_t count = 0;
  for (const auto& [key, kept] : kept_) count += kept.places.obstacles();
  return count;
}

std::optional<RegionFill::Candidate> RegionFill::best(std::size_t shape, const std::optional<Vec2>& mate,
                                                      double times) {
  const FillShape& spec = shapes_[shape];
  std::optional<Candidate> best;
  for (const std::size_t region : spec.regions) {
    for (const std::size_t turn : from_the_left(shape)) {
      PlaceSearch search;
      if (mate) {
        const Vec2 far{times * spec.mates_within, times * spec.mates_within};
        search.within = Box2{};
        search.within->add(*mate - far);
        search.within->add(*mate + far);
      }
      if (!spec.within.empty()) {
        const Box2& own = spec.within[turn];
        if (!search.within) {
          search.within = own;
        } else {
          search.within->low = {std::max(search.within->low.x, own.low.x),
                                std::max(search.within->low.y, own.low.y)};
          search.within->high = {std::min(search.within->high.x, own.high.x),
                                 std::min(search.within->high.y, own.high.y)};
        }
        if (search.within->empty()) continue;
        // Whatever is found there reaches farther.
        if (best && search.within->low.x + rights_[shape][turn] > best->right + kAlike) continue;
      }
      ++searches_;
      const FreePlaces& free = free_places(shape, region, turn);
      if (spec.allowed) search.allowed = [&, turn](Vec2 at) { return spec.allowed(turn, at); };
      const std::optional<Vec2> at = free.leftmost(search);
      if (!at) continue;
      Candidate one{{region, turn, *at}, at->x + bounds(free.shape().hull).high.x};
      const bool better = !best || one.right < best->right - kAlike ||
                          (one.right < best->right + kAlike && one.place.at.y < best->place.at.y - kAlike);
      if (better) best = one;
    }
  }
  return best;
}

FillLayout RegionFill::lay(const std::vector<FillItem>& items, const std::vector<std::size_t>& order,
                           bool all) {
  kept_.clear();
  laid_.clear();
  FillLayout layout;
  layout.places.resize(items.size());
  layout.right = -1e300;
  for (const std::size_t i : order) {
    const FillItem& item = items[i];
    std::optional<Vec2> mate;
    if (item.mate && shapes_[item.shape].mates_within > 0.0 && layout.places[*item.mate])
      mate = layout.places[*item.mate]->at;
    std::optional<Candidate> found = best(item.shape, mate, 1.0);
    // No room there: as near as there is some.
    for (double times = 2.0; !found && mate && times < 5.0; times *= 2.0)
      found = best(item.shape, mate, times);
    if (!found && mate) found = best(item.shape, {}, 1.0);
    if (!found) {
      if (all) return layout;
      continue;
    }
    layout.places[i] = found->place;
    layout.right = std::max(layout.right, found->right);
    ++layout.laid;
    laid_.push_back(moved_parts(free_places(item.shape, found->place.region, found->place.turn).shape().parts,
                                found->place.at));
  }
  return layout;
}

std::vector<std::vector<std::size_t>> fill_orders(const std::vector<FillShape>& shapes,
                                                  const std::vector<FillItem>& items) {
  std::vector<ShapeSize> sizes;
  for (const FillShape& shape : shapes) sizes.push_back(size_of(shape));
  // A mate goes by the item it belongs to, and stands behind it.
  std::vector<std::size_t> lead(items.size());
  for (std::size_t i = 0; i < items.size(); ++i) lead[i] = items[i].mate ? lead[*items[i].mate] : i;
  std::vector<std::vector<std::size_t>> orders;
  for (const auto measure : {&ShapeSize::area, &ShapeSize::length, &ShapeSize::width}) {
    std::vector<std::size_t> order(items.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const double one = sizes[items[lead[a]].shape].*measure;
      const double other = sizes[items[lead[b]].shape].*measure;
      return one != other ? one > other : lead[a] < lead[b];
    });
    if (std::find(orders.begin(), orders.end(), order) == orders.end()) orders.push_back(std::move(order));
  }
  return orders;
}

FillLayout shortest_fill(const std::vector<FillRegion>& regions, const std::vector<FillShape>& shapes,
                         const std::vector<FillItem>& items, const FillOptions& options, int tries) {
  RegionFill fill(regions, shapes, options);
  FillLayout best;
  std::vector<std::size_t> kept;
  const auto take = [&](const std::vector<std::size_t>& order) {
    FillLayout layout = fill.lay(items, order, true);
    const bool better = layout.laid > best.laid || (layout.laid == best.laid && layout.right <= best.right);
    if (!better && !kept.empty()) return;
    best = std::move(layout);
    kept = order;
  };
  for (const std::vector<std::size_t>& order : fill_orders(shapes, items)) take(order);
  // The engine's numbers are the same everywhere; a distribution's would not be.
  std::minstd_rand random(1);
  for (int t = 0; t < tries; ++t) {
    std::vector<std::size_t> order = kept;
    const std::size_t a = random() % order.size();
    const std::size_t b = random() % order.size();
    if (items[order[a]].shape == items[order[b]].shape) continue;
    std::swap(order[a], order[b]);
    take(order);
  }
  return best;
}

}  // namespace lastwright
