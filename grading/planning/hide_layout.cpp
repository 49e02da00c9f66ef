#include "grading/planning/hide_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/fill/region_fill.hpp"
#include "geometry/fill/row_fill.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "grading/planning/hide_directions.hpp"
#include "grading/planning/hide_kind.hpp"
#include "grading/planning/hide_measured.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

constexpr double kShared = 1e-6;  // of a piece's area: what rounding may leave of an overlap

// Parts of direction lines as one chord each; where there is none, one along x.
struct Directions {
  std::vector<double> angles;
  NearestLine nearest;

  explicit Directions(const HideDrawing& hide) : nearest(hide.directions, bounds(hide.outline)) {
    for (const std::vector<Vec2>& line : hide.directions) {
      const Vec2 chord = line.back() - line.front();
      angles.push_back(std::atan2(chord.y, chord.x));
    }
    if (angles.empty()) angles.push_back(0.0);
  }
};

class HideLayer {
 public:
  HideLayer(const StyleGrade& grade, const std::vector<std::size_t>& pieces, const HideDrawing& hide,
            const HideOptions& options)
      : grade_(grade), pieces_(pieces), hide_(hide), options_(options), directions_(hide) {}

  Status prepare(const std::vector<HidePair>& pairs) {
    if (Status rules = check_rules(); !rules) return rules;
    Result<FillRegion> whole = fill_region(hide_.outline);
    if (!whole) return whole.problem();
    regions_.push_back(*std::move(whole));
    for (const HideZone& zone : hide_.zones) {
      Result<FillRegion> region = fill_region(zone.outline);
      if (!region) return region.problem().in("zone", zone.name);
      regions_.push_back(*std::move(region));
    }
    for (const Polygon& hole : hide_.holes) {
      const Result<std::vector<Polygon>> parts = convex_parts(hole);
      if (!parts) return parts.problem();
      holes_.insert(holes_.end(), parts->begin(), parts->end());
    }
    for (const HidePair& pair : pairs) {
      for (const std::size_t piece : pieces_) {
        const Hand hand = grade_.pieces[piece].bound.spec.hand;
        for (const bool other : {false, true}) {
          if (other && hand != Hand::kHanded) continue;
          const auto key = std::tuple(piece, pair.cell, other);
          if (index_.count(key) > 0) continue;
          Result<HideKind> kind = hide_kind(grade_, piece, pair.cell, other, options_.rules.gap);
          if (!kind) return kind.problem();
          index_[key] = kinds_.size();
          kinds_.push_back(*std::move(kind));
          shapes_.push_back(shape_of(kinds_.back()));
          if (options_.rows) chains_.push_back(row_chains(kinds_.back().parts, options_.rules.half_turned));
        }
      }
    }
    return Done{};
  }

  // More pairs than the area of the hide can hold are not tried.
  [[nodiscard]] std::size_t most_by_area(const std::vector<HidePair>& pairs) const {
    double left = hide_.usable();
    std::size_t count = 0;
    for (const HidePair& pair : pairs) {
      for (const std::size_t piece : pieces_)
        left -= kinds_[index_.at({piece, pair.cell, false})].net * grade_.pieces[piece].bound.spec.per_pair;
      if (left < 0.0) break;
      ++count;
    }
    return count;
  }

  // Why of the first pair not all pieces may lie there: a unit that was mistaken shows in the areas.
  [[nodiscard]] std::string areas_of(const HidePair& pair) const {
    double all = 0.0;
    const HideKind* largest = nullptr;
    for (const std::size_t piece : pieces_) {
      const HideKind& kind = kinds_[index_.at({piece, pair.cell, false})];
      all += kind.net * grade_.pieces[piece].bound.spec.per_pair;
      if (!largest || kind.net > largest->net) largest = &kind;
    }
    if (!largest) return "";
    return fmt::format(
        ": {:.3g} dm2 of it can be used, a pair takes {:.3g} dm2, and its largest piece, {}, {:.3g} dm2{}",
        hide_.usable() / 1e4, all / 1e4, grade_.pieces[largest->piece].bound.spec.name, largest->net / 1e4,
        largest->net > hide_.usable() ? "; is the unit of the hide's drawing right?" : "");
  }

  // The first `count` of the pairs; empty where not all of them found room.
  std::optional<HideLayout> lay(const std::vector<HidePair>& pairs, std::size_t count) {
    std::vector<FillItem> items;
    std::vector<std::size_t> pair_of;
    // Kind by kind, so that the orders below lay like pieces one after the other.
    for (const std::size_t piece : pieces_) {
      const PieceSpec& spec = grade_.pieces[piece].bound.spec;
      for (std::size_t p = 0; p < count; ++p) {
        for (int k = 0; k < spec.per_pair; ++k) {
          const bool other = spec.hand == Hand::kHanded && k % 2 == 1;
          FillItem item{index_.at({piece, pairs[p].cell, other}), {}};
          if (k % 2 == 1) item.mate = items.size() - 1;
          items.push_back(item);
          pair_of.push_back(p);
        }
      }
    }
    std::size_t tried = 0;
    const auto done = [&](std::size_t layouts) {
      layouts = std::min(layouts, kFillOrders - tried);
      tried += layouts;
      if (options_.advance) options_.advance(layouts);
    };
    const Layout empty{std::vector<Laid>(items.size()), shapes_, 0};
    Layout layout = empty;
    bool laid = false;
    if (options_.rows) {
      for (const RowOrder order : {RowOrder::kCloserChain, RowOrder::kLongestFirst}) {
        layout = empty;
        laid = lay_in_rows(items, order, layout, done);
        if (laid) break;
      }
    } else {
      laid = lay_singly(items, kAll, layout, done);
    }
    done(kFillOrders);
    if (!laid) return {};
    return layout_of(layout.places, items, pair_of, count);
  }

 private:
  // Where an item lies.
  struct Laid {
    bool laid = false;
    bool in_row = false;
    std::size_t row = 0;
    Radians turn;
    Vec2 at;
  };

  // What is laid so far: the shapes keep out of it.
  struct Layout {
    std::vector<Laid> places;  // by item
    std::vector<FillShape> shapes;
    std::size_t rows = 0;
  };

  // What comes from a zone, what may lie anywhere, or both.
  enum Part { kZoned, kAnywhere, kAll };
  [[nodiscard]] bool zoned(std::size_t kind) const { return !rule_of(kinds_[kind]).zones.empty(); }
  [[nodiscard]] bool is_of(Part part, std::size_t kind) const {
    return part == kAll || zoned(kind) == (part == kZoned);
  }

  // What may come from few places is laid before others take them: its rows, and what of it is left singly.
  bool lay_in_rows(const std::vector<FillItem>& items, RowOrder order, Layout& layout,
                   const std::function<void(std::size_t)>& done) const {
    for (const Part part : {kZoned, kAnywhere}) {
      lay_rows_of(items, part, order, layout);
      const auto nothing = [](std::size_t) {};
      if (!lay_singly(items, part, layout, part == kZoned ? std::function<void(std::size_t)>(nothing) : done))
        return false;
    }
    return true;
  }

  // Of a part what lies in rows.
  void lay_rows_of(const std::vector<FillItem>& items, Part part, RowOrder order, Layout& layout) const {
    std::vector<std::vector<std::size_t>> of_kind(kinds_.size());
    for (std::size_t i = items.size(); i > 0; --i) {
      if (is_of(part, items[i - 1].shape)) of_kind[items[i - 1].shape].push_back(i - 1);
    }
    std::vector<RowSource> rows;
    for (std::size_t k = 0; k < kinds_.size(); ++k) {
      const FillShape& shape = layout.shapes[k];
      rows.push_back({shape.parts, shape.turns, chains_[k], of_kind[k].size(), shape.regions, shape.kept_out,
                      shape.allowed});
    }
    constexpr std::size_t kLeast = 3;  // fewer are no row
    const std::size_t before = layout.rows;
    for (const RowPlace& one : lay_rows(regions_, rows, kLeast, order)) {
      const std::size_t item = of_kind[one.kind].back();
      of_kind[one.kind].pop_back();
      put(items, item, {true, true, before + one.row, one.turn, one.at}, layout);
    }
  }

  // Of a part all that does not lie in rows; false where there was no room for all.
  bool lay_singly(const std::vector<FillItem>& items, Part part, Layout& layout,
                  const std::function<void(std::size_t)>& done) const {
    const std::vector<FillShape> shapes = layout.shapes;
    RegionFill fill(regions_, shapes, {});
    for (std::vector<std::size_t> order : fill_orders(shapes_, items)) {
      std::erase_if(order,
                    [&](std::size_t i) { return layout.places[i].laid || !is_of(part, items[i].shape); });
      std::stable_partition(order.begin(), order.end(), [&](std::size_t i) { return zoned(items[i].shape); });
      const FillLayout found = fill.lay(items, order, true);
      done(1);
      if (found.laid != order.size()) continue;
      for (const std::size_t i : order)
        put(items, i,
            {true, false, 0, shapes_[items[i].shape].turns[found.places[i]->turn], found.places[i]->at},
            layout);
      return true;
    }
    return false;
  }

  void put(const std::vector<FillItem>& items, std::size_t item, const Laid& place, Layout& layout) const {
    layout.places[item] = place;
    if (place.in_row) layout.rows = std::max(layout.rows, place.row + 1);
    if (!options_.rows) return;  // all at once: nothing comes after them
    const std::vector<Polygon> parts =
        moved_parts(turned(kinds_[items[item].shape].parts, place.turn).parts, place.at);
    for (FillShape& shape : layout.shapes)
      shape.kept_out.insert(shape.kept_out.end(), parts.begin(), parts.end());
  }

  // The zones of what is laid; the works file may have rules for other pieces, of other hides.
  Status check_rules() const {
    std::vector<std::string> zones;
    for (const HideZone& zone : hide_.zones) zones.push_back(zone.name);
    for (const std::size_t piece : pieces_) {
      const std::string& name = grade_.pieces[piece].bound.spec.name;
      const auto rule = options_.pieces.find(name);
      if (rule == options_.pieces.end()) continue;
      for (const std::string& zone : rule->second.zones) {
        if (std::find(zones.begin(), zones.end(), zone) != zones.end()) continue;
        return bad_value(fmt::format("the hide has no zone \"{}\", which {} comes from{}", zone, name,
                                     suggestion(zone, zones)));
      }
    }
    return Done{};
  }

  [[nodiscard]] const HideRule& rule_of(const HideKind& kind) const {
    static const HideRule kNone;
    const auto found = options_.pieces.find(grade_.pieces[kind.piece].bound.spec.name);
    return found == options_.pieces.end() ? kNone : found->second;
  }

  FillShape shape_of(const HideKind& kind) const {
    const HideRule& rule = rule_of(kind);
    FillShape shape;
    shape.parts = kind.parts;
    shape.mates_within = options_.mates_within * kind.length;
    shape.kept_out = holes_;
    if (rule.zones.empty()) {
      shape.regions = {0};
    } else {
      // In a zone, and on the hide, which a zone that was drawn by hand may reach beyond.
      shape.kept_out.insert(shape.kept_out.end(), regions_[0].pockets.begin(), regions_[0].pockets.end());
      const std::vector<Polygon> outside = outside_of(regions_[0].hull);
      shape.kept_out.insert(shape.kept_out.end(), outside.begin(), outside.end());
      for (std::size_t z = 0; z < hide_.zones.size(); ++z) {
        if (std::find(rule.zones.begin(), rule.zones.end(), hide_.zones[z].name) != rule.zones.end())
          shape.regions.push_back(z + 1);
      }
    }
    std::vector<std::size_t> line_of;
    const double quarter = 0.5 * std::numbers::pi;
    std::vector<double> offsets{rule.direction == HideDirection::kAcross ? quarter : 0.0};
    if (rule.direction == HideDirection::kAny) offsets = {0.0, 0.5 * quarter, quarter, 1.5 * quarter};
    const double off = rule.within * std::numbers::pi / 180.0;
    for (std::size_t line = 0; line < directions_.angles.size(); ++line) {
      for (const double offset : offsets) {
        for (const double turn : off > 0.0 ? std::vector<double>{0.0, -off, off} : std::vector<double>{0.0}) {
          for (const double half : {0.0, std::numbers::pi}) {
            // Mirrored in x = 0 a piece's grain is turned round: half a turn more, and it runs the same way.
            if ((half > 0.0) != kind.mirrored && !options_.rules.half_turned) continue;
            shape.turns.emplace_back(directions_.angles[line] + offset + turn + half);
            line_of.push_back(line);
          }
        }
      }
    }
    if (directions_.angles.size() > 1) {
      for (const std::size_t line : line_of) shape.within.push_back(directions_.nearest.box(line));
      shape.allowed = [this, line_of](std::size_t turn, Vec2 at) {
        return directions_.nearest(at) == line_of[turn];
      };
    }
    return shape;
  }

  HideLayout layout_of(const std::vector<Laid>& found, const std::vector<FillItem>& items,
                       const std::vector<std::size_t>& pair_of, std::size_t count) const {
    HideLayout layout;
    layout.pairs = count;
    std::vector<std::vector<Polygon>> laid;
    for (std::size_t i = 0; i < items.size(); ++i) {
      const HideKind& kind = kinds_[items[i].shape];
      const Laid& place = found[i];
      const Radians turn = place.turn;
      if (place.in_row) {
        ++layout.in_rows;
        layout.rows = std::max(layout.rows, place.row + 1);
      }
      layout.pieces.push_back({kind.piece, kind.cell, pair_of[i], kind.mirrored, kind.lay, kind.middle,
                               turn.value(), place.at, placed(kind.outline, turn, place.at),
                               place.in_row ? place.row + 1 : 0});
      layout.net += kind.net;
      laid.push_back(moved_parts(turned(kind.parts, turn).parts, place.at));
      if (!items[i].mate) continue;
      const double apart = distance(place.at, found[*items[i].mate].at);
      layout.mates_apart = std::max(layout.mates_apart, apart);
      // The box that mates are looked for in has this from its middle to its corner.
      if (apart > std::numbers::sqrt2 * shapes_[items[i].shape].mates_within) ++layout.mates_far;
    }
    for (std::size_t i = 0; i < items.size(); ++i)
      layout.beyond_zone =
          std::max(layout.beyond_zone, beyond_regions(laid[i], regions_, shapes_[items[i].shape].regions));
    layout.overlap = overlap_on_hide(laid, regions_[0], holes_);
    for (const std::size_t piece : pieces_) {
      const auto own = std::find_if(kinds_.begin(), kinds_.end(),
                                    [&](const HideKind& kind) { return kind.piece == piece; });
      if (own != kinds_.end() && !own->grain) ++layout.without_grain;
    }
    return layout;
  }

  const StyleGrade& grade_;
  const std::vector<std::size_t>& pieces_;
  const HideDrawing& hide_;
  const HideOptions& options_;
  Directions directions_;
  std::vector<FillRegion> regions_;  // the hide, then its zones
  std::vector<Polygon> holes_;
  std::vector<HideKind> kinds_;
  std::vector<FillShape> shapes_;
  std::vector<std::vector<RowChain>> chains_;  // by kind, where rows are asked for
  std::map<std::tuple<std::size_t, std::size_t, bool>, std::size_t> index_;
};

}  // namespace

Result<HideLayout> lay_on_hide(const StyleGrade& grade, const std::vector<std::size_t>& pieces,
                               const std::vector<HidePair>& pairs, const HideDrawing& hide,
                               const HideOptions& options) {
  HideLayer layer(grade, pieces, hide, options);
  if (Status ready = layer.prepare(pairs); !ready) return ready.problem();
  const std::size_t most = std::min(options.most_pairs, layer.most_by_area(pairs));
  // The greatest count that was found to lie: more pairs than that hardly ever do.
  std::optional<HideLayout> best;
  std::size_t low = 0;
  std::size_t high = most + 1;
  // Halving leaves at most that many counts to try; where it needs fewer, they are done with.
  std::size_t counts = static_cast<std::size_t>(std::bit_width(most));
  if (options.expect) options.expect(counts * kFillOrders);
  for (; high - low > 1; --counts) {
    const std::size_t middle = low + (high - low) / 2;
    std::optional<HideLayout> found = layer.lay(pairs, middle);
    if (found) {
      best = std::move(found);
      low = middle;
    } else {
      high = middle;
    }
  }
  if (options.advance) options.advance(counts * kFillOrders);
  if (!best)
    return Problem{Trouble::kGeometry,
                   "not one whole pair was found to lie on the hide" +
                       (pairs.empty() ? std::string() : layer.areas_of(pairs.front())),
                   {},
                   {},
                   {}};
  double least = std::numeric_limits<double>::infinity();
  for (const HidePiece& piece : best->pieces) least = std::min(least, std::abs(signed_area(piece.outline)));
  if (best->overlap > kShared * least)
    return Problem{Trouble::kInternal, "pieces laid on the hide overlap", {}, best->overlap, kShared * least};
  if (best->beyond_zone > kShared * least) {
    return Problem{
        Trouble::kInternal, "a piece lies beyond its zones", {}, best->beyond_zone, kShared * least};
  }
  best->all = best->pairs == pairs.size();
  return *std::move(best);
}

}  // namespace lastwright
