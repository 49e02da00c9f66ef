#include "geometry/fill/row_fill.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "geometry/box2.hpp"
#include "geometry/fill/free_places.hpp"
#include "geometry/lattice/strip_lattice.hpp"

namespace lastwright {

namespace {

constexpr double kHalfTurn = std::numbers::pi;  // radians

Vec2 turned_by(Vec2 p, Radians by) {
  const double c = std::cos(by.value());
  const double s = std::sin(by.value());
  return {c * p.x - s * p.y, s * p.x + c * p.y};
}

LatticeShape lattice_shape_of(const TurnedShape& from) {
  LatticeShape shape;
  shape.polygon = from.hull;
  shape.coarse = from.hull;
  shape.parts = from.parts;
  shape.rough = from.parts;
  for (const Polygon& part : from.parts) shape.area += signed_area(part);
  return shape;
}

struct MeasuredChain {
  RowChain chain;
  double taken = 0.0;  // mm^2 of the strip for a shape
};

// Chains along x within a strip that is wide enough for one shape and a little more.
MeasuredChain chain_along(const TurnedShape& shape, bool half_turned) {
  constexpr double kWider = 1.35;  // of the shape's own height
  const LatticeShape lattice = lattice_shape_of(shape);
  const double height = bounds(shape.hull).height();
  std::vector<LatticeKind> kinds{LatticeKind::kTranslated};
  if (half_turned) kinds.push_back(LatticeKind::kHalfTurned);
  MeasuredChain best;
  for (const LatticeKind kind : kinds) {
    const StripLay lay = densest_in_strip(lattice, {kind}, {kWider * height});
    if (lay.rows.empty()) continue;
    MeasuredChain one;
    one.chain.step = {lay.period, 0.0};
    double low = lay.rows.front().y;
    double high = low;
    for (std::size_t r = 0; r < std::min<std::size_t>(2, lay.rows.size()); ++r) {
      const StripRow& row = lay.rows[r];
      double x = std::fmod(row.x - lay.rows.front().x, lay.period);
      if (x < 0.0) x += lay.period;
      one.chain.link.push_back({{x, row.y}, row.second});
      low = std::min(low, row.y);
      high = std::max(high, row.y);
    }
    one.taken = (high - low + height) * lay.period / static_cast<double>(one.chain.link.size());
    if (best.chain.link.empty() || one.taken < best.taken * (1.0 - 1e-9)) best = one;
  }
  return best;
}

struct Row {
  std::vector<RowStep> shapes;  // round the middle of the row's box
  std::vector<Polygon> hulls;   // of each
};

Row row_of(const RowSource& kind, const RowChain& chain, std::size_t links) {
  Row row;
  Box2 box;
  const Polygon upright = turned(kind.parts, Radians(0.0)).hull;
  const Polygon half = turned(kind.parts, Radians(kHalfTurn)).hull;
  for (std::size_t k = 0; k < links; ++k) {
    for (const RowStep& step : chain.link) {
      const RowStep there{step.at + static_cast<double>(k) * chain.step, step.half};
      row.shapes.push_back(there);
      row.hulls.push_back(moved_parts({step.half ? half : upright}, there.at).front());
      box.add(bounds(row.hulls.back()));
    }
  }
  for (RowStep& shape : row.shapes) shape.at = shape.at - box.centre();
  row.hulls = moved_parts(row.hulls, -box.centre());
  return row;
}

// A row in one of its turns, in one region.
struct TurnedRow {
  std::size_t turn = 0;
  FreePlaces places;
  std::vector<Vec2> offsets;  // of its shapes
  const RowSource* kind = nullptr;

  [[nodiscard]] std::optional<Vec2> leftmost() const {
    PlaceSearch search;
    if (kind->allowed) {
      search.allowed = [this](Vec2 at) {
        return std::all_of(offsets.begin(), offsets.end(),
                           [&](Vec2 offset) { return kind->allowed(turn, at + offset); });
      };
    }
    return places.leftmost(search);
  }
};

// The place farthest to the left over regions and turns, by where the row ends.
struct Found {
  std::size_t turn = 0;
  Vec2 at;
  double right = 0.0;
};

class RowLayer {
 public:
  explicit RowLayer(const std::vector<FillRegion>& regions) : regions_(regions) {}

  // Rows of so many links as long as there are enough left and there is room.
  void lay(std::size_t kind_index, const RowSource& kind, const RowChain& chain, std::size_t links,
           std::size_t& left) {
    if (left < links * chain.link.size()) return;
    const Row row = row_of(kind, chain, links);
    std::vector<TurnedRow> places;
    for (const std::size_t region : kind.regions) {
      for (std::size_t turn = 0; turn < kind.turns.size(); ++turn) {
        constexpr std::size_t kCells = 10'000;  // of each picture of places
        places.push_back({turn, {turned(row.hulls, kind.turns[turn]), regions_[region], kCells}, {}, &kind});
        if (!kind.kept_out.empty()) places.back().places.forbid(kind.kept_out);
        for (const RowStep& shape : row.shapes)
          places.back().offsets.push_back(turned_by(shape.at, kind.turns[turn]));
      }
    }
    std::size_t known = 0;
    while (left >= row.shapes.size()) {
      for (; known < laid_.size(); ++known) {
        for (TurnedRow& one : places) one.places.forbid(laid_[known]);
      }
      const std::optional<Found> found = leftmost(places);
      if (!found) return;
      const Radians turn = kind.turns[found->turn];
      std::vector<Polygon> parts;
      for (const RowStep& shape : row.shapes) {
        const Radians own(turn.value() + (shape.half ? kHalfTurn : 0.0));
        const Vec2 at = found->at + turned_by(shape.at, turn);
        done_.push_back({kind_index, rows_, own, at});
        const std::vector<Polygon> there = moved_parts(turned(kind.parts, own).parts, at);
        parts.insert(parts.end(), there.begin(), there.end());
      }
      laid_.push_back(std::move(parts));
      ++rows_;
      left -= row.shapes.size();
    }
  }

  [[nodiscard]] std::vector<RowPlace> done() && { return std::move(done_); }

 private:
  static std::optional<Found> leftmost(const std::vector<TurnedRow>& places) {
    std::optional<Found> best;
    for (const TurnedRow& row : places) {
      const std::optional<Vec2> at = row.leftmost();
      if (!at) continue;
      const Found one{row.turn, *at, at->x + bounds(row.places.shape().hull).high.x};
      constexpr double kAlike = 1e-6;  // mm: no cutter tells them apart
      if (!best || one.right < best->right - kAlike ||
          (one.right < best->right + kAlike && one.at.y < best->at.y - kAlike))
        best = one;
    }
    return best;
  }

  const std::vector<FillRegion>& regions_;
  std::vector<std::vector<Polygon>> laid_;  // row by row
  std::vector<RowPlace> done_;
  std::size_t rows_ = 0;
};

}  // namespace

std::vector<RowChain> row_chains(const std::vector<Polygon>& parts, bool half_turned) {
  const MeasuredChain along = chain_along(turned(parts, Radians(0.0)), half_turned);
  const Radians quarter(0.5 * kHalfTurn);
  MeasuredChain across = chain_along(turned(parts, quarter), half_turned);
  // Back by a quarter: x to -y, y to x.
  const auto back = [](Vec2 p) { return Vec2{p.y, -p.x}; };
  for (RowStep& step : across.chain.link) step.at = back(step.at);
  across.chain.step = back(across.chain.step);
  std::vector<RowChain> chains;
  if (!along.chain.link.empty()) chains.push_back(along.chain);
  if (!across.chain.link.empty()) chains.push_back(across.chain);
  if (chains.size() == 2 && across.taken < along.taken * (1.0 - 1e-9)) std::swap(chains[0], chains[1]);
  return chains;
}

std::vector<RowPlace> lay_rows(const std::vector<FillRegion>& regions, const std::vector<RowSource>& kinds,
                               std::size_t least, RowOrder order) {
  std::vector<std::size_t> largest(kinds.size());
  std::iota(largest.begin(), largest.end(), std::size_t{0});
  const auto area = [&](std::size_t k) {
    double sum = 0.0;
    for (const Polygon& part : kinds[k].parts) sum += signed_area(part);
    return sum;
  };
  std::stable_sort(largest.begin(), largest.end(),
                   [&](std::size_t one, std::size_t other) { return area(one) > area(other); });
  RowLayer layer(regions);
  for (const std::size_t k : largest) {
    const RowSource& kind = kinds[k];
    double reach = 0.0;
    for (const std::size_t region : kind.regions) reach = std::max(reach, diameter(regions[region].hull));
    struct Length {
      const RowChain* chain;
      std::size_t links;
      [[nodiscard]] std::size_t shapes() const { return links * chain->link.size(); }
    };
    std::vector<Length> lengths;
    for (const RowChain& chain : kind.chains) {
      const std::size_t by_length = static_cast<std::size_t>(reach / norm(chain.step));
      Length one{&chain, std::min(by_length, kind.count / chain.link.size())};
      // Long rows by quarters, short ones link by link.
      for (; one.shapes() >= std::max<std::size_t>(2, least);
           one.links = one.links > 4 ? one.links * 3 / 4 : one.links - 1)
        lengths.push_back(one);
    }
    if (order == RowOrder::kLongestFirst) {
      std::stable_sort(lengths.begin(), lengths.end(),
                       [](const Length& one, const Length& other) { return one.shapes() > other.shapes(); });
    }
    std::size_t left = kind.count;
    for (const Length& one : lengths) layer.lay(k, kind, *one.chain, one.links, left);
  }
  return std::move(layer).done();
}

}  // namespace lastwright
