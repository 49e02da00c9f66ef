#include "geometry/lattice/strip_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

#include "geometry/check/convex_region.hpp"
#include "geometry/lattice/lattice_seeds.hpp"
#include "geometry/lattice/row_lattices.hpp"

namespace lastwright {

namespace {

constexpr double kTouching = 1e-7;  // mm

// Half of how far the shape reaches along and across; its second shape, turned or mirrored about the middle
// of the box, reaches as far.
Vec2 half_size(const LatticeShape& shape) {
  const Box2 box = bounds(shape.polygon);
  return {std::max(box.high.x, -box.low.x), std::max(box.high.y, -box.low.y)};
}

// Each set of rows that lies within `room` across and has none to add, counted by the middles of their
// shapes; up to a whole step of the lattice there are no others.
std::vector<std::vector<StripRow>> rows_within(const Lattice& lattice, double room) {
  std::vector<std::vector<StripRow>> sets;
  if (room < 0.0) return sets;
  const int most = static_cast<int>(std::ceil(room / lattice.b.y)) + 2;
  std::vector<StripRow> rows;
  for (int j = -1; j <= most; ++j) {
    const Vec2 at = static_cast<double>(j) * lattice.b;
    rows.push_back({at.x, at.y, false});
    if (lattice.second) rows.push_back({at.x + lattice.second->x, at.y + lattice.second->y, true});
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const StripRow& one, const StripRow& other) { return one.y < other.y; });
  constexpr double kRounding = 1e-9;  // mm
  for (std::size_t first = 0; first < rows.size() && first < 6; ++first) {
    std::size_t last = first;
    while (last < rows.size() && rows[last].y <= rows[first].y + room + kRounding) ++last;
    sets.emplace_back(rows.begin() + static_cast<std::ptrdiff_t>(first),
                      rows.begin() + static_cast<std::ptrdiff_t>(last));
    const double middle = 0.5 * (sets.back().front().y + sets.back().back().y);
    for (StripRow& row : sets.back()) row.y -= middle;
  }
  return sets;
}

// The best that the rows of a lattice come to.
StripLay laid(LatticeKind kind, const Lattice& lattice, const LatticeShape& shape, const StripSize& size) {
  StripLay best;
  const double room = size.width - 2.0 * half_size(shape).y;
  for (std::vector<StripRow>& rows : rows_within(lattice, room)) {
    StripLay one{kind, lattice, std::move(rows), lattice.a.x};
    if (size.length > 0.0) {
      one.held = shapes_in_sheet(one, shape, size.length);
      if (one.held == 0) continue;
    }
    if (best.rows.empty() || closer(one, best)) best = std::move(one);
  }
  return best;
}

struct KindOfStrip {
  SumObstacle same;
  std::unique_ptr<SumObstacle> other;
  std::unique_ptr<SumObstacle> mixed;
  KindOfStrip(const std::vector<Polygon>& parts, LatticeKind kind) : same(parts, parts) {
    const std::vector<Polygon> second = second_parts(parts, kind);
    if (second.empty()) return;
    mixed = std::make_unique<SumObstacle>(parts, second);
    if (kind != LatticeKind::kHalfTurned) other = std::make_unique<SumObstacle>(second, second);
  }
  [[nodiscard]] LatticeRules rules() const { return {&same, other.get(), mixed.get()}; }
};

}  // namespace

bool closer(const StripLay& one, const StripLay& other) {
  if (one.held != other.held) return one.held > other.held;
  return one.length_per_shape() < other.length_per_shape() * (1.0 - 1e-9);
}

namespace {

// The search in one kind of lattice. Coarse polygons are larger: what they cannot do the fine ones will
// hardly do better by a fiftieth.
class StripSearch {
 public:
  StripSearch(const LatticeShape& shape, LatticeKind kind, const StripSize& size, StripLay& best,
              std::vector<StripLay>* found)
      : shape_(shape),
        kind_(kind),
        size_(size),
        best_(best),
        found_(found),
        rough_(shape.rough, kind),
        fine_(shape.parts, kind) {
    const Vec2 half = half_size(shape);
    reach_ = 2.0 * std::max(half.x, half.y);
    room_ = size.width - 2.0 * half.y;
    wider_ = {size.width + 0.01 * reach_, 0.0};
    if (size.length > 0.0) wider_.length = 1.02 * size.length;
  }

  void run() {
    std::vector<Lattice> coarse = small_cells();
    // One row more than such a lattice has, or as many in what it leaves free.
    for (const Lattice& lattice : coarse) {
      const auto rows = static_cast<int>(laid(kind_, lattice, shape_, wider_).rows.size());
      for (const int count : {rows, rows + 1}) try_rows(lattice, count);
    }
    if (rough_.mixed) {
      of_turns();
    } else {
      of_one();
    }
    straight();
  }

 private:
  // Columns straight across: as many rows as there is room for, or one less, spread over the width or not;
  // each second shape of a column level with the first or moved along. Of each number of rows the two that
  // are shortest in a column and in many.
  void straight() {
    struct Two {
      std::optional<Lattice> level;
      std::optional<Lattice> closest;
    };
    std::map<int, Two> by_rows;
    const auto consider = [&](double shift, double step) {
      const Lattice lattice = straight_columns(fine_.rules(), shift, step);
      const auto rows = static_cast<int>(laid(kind_, lattice, shape_, {size_.width, 0.0}).rows.size());
      Two& two = by_rows[rows];
      for (auto* kept : {&two.level, &two.closest}) {
        if (kept == &two.level && shift != 0.0) continue;
        if (!*kept || lattice.a.x < (**kept).a.x * (1.0 - 1e-9)) *kept = lattice;
      }
    };
    constexpr int kShifts = 4;  // to either side, up to a quarter of the shape's length
    for (int k = fine_.mixed ? -kShifts : 0; k <= (fine_.mixed ? kShifts : 0); ++k) {
      const double shift = 0.5 * half_size(shape_).x * k / kShifts;
      const Lattice close = straight_columns(fine_.rules(), shift, 0.0);
      consider(shift, 0.0);
      const auto most = static_cast<int>(laid(kind_, close, shape_, {size_.width, 0.0}).rows.size());
      for (int rows = most; rows >= std::max(2, most - 1); --rows) {
        // All of the steps between the rows grow alike; of two shapes a cell they are half steps.
        const double steps = fine_.mixed ? 0.5 * (rows - 1) : rows - 1;
        consider(shift, close.b.y + (room_ - span_of_rows(close, rows).length) / steps);
      }
    }
    for (const auto& [rows, two] : by_rows) {
      for (const std::optional<Lattice>& one : {two.level, two.closest}) {
        if (one) take({*one, one->cell_area(), deepest_overlap(*one, fine_.rules())});
      }
    }
  }

  // Lattices whose cells no small change makes smaller; those that are as good as the best are followed up.
  std::vector<Lattice> small_cells() {
    std::vector<Lattice> all;
    const int shapes = rough_.mixed ? 2 : 1;
    for (const Lattice& seed :
         lattice_seeds(rough_.rules(), {.least_area = 0.99 * shapes * shape_.area, .level = true})) {
      const Polished coarse =
          polish(seed, rough_.rules(),
                 {.first_step = 0.03 * reach_, .last_step = 2e-4 * reach_, .most_rounds = 40, .level = true});
      if (coarse.depth > 1e-3 * reach_) continue;
      all.push_back(coarse.lattice);
      if (!promises(coarse.lattice)) continue;
      take(polish(coarse.lattice, fine_.rules(),
                  {.first_step = 0.01 * reach_, .last_step = 1e-6 * reach_, .level = true}));
    }
    return all;
  }

  // For each number of rows the shortest way to have them.
  void of_one() {
    const SumObstacle& same = shape_.parts.size() == 1 ? fine_.same : rough_.same;
    const double slack = shape_.parts.size() == 1 ? 0.0 : 0.01 * reach_;
    const double longest = 2.2 * level_distance(same);
    const int most = static_cast<int>((room_ + slack) * longest / (0.97 * shape_.area)) + 1;
    for (int rows = 1; rows <= most; ++rows) {
      const double step = rows == 1 ? same.box().high.y + 1.0 : (room_ + slack) / (rows - 1);
      double below = longest;
      if (!best_.rows.empty() && size_.length == 0.0)
        below = std::min(below, 1.02 * best_.length_per_shape() * rows);
      if (const std::optional<Lattice> found = shortest_of_rows(same, step, below)) try_rows(*found, rows);
    }
  }

  void of_turns() {
    const double room = room_ + 0.01 * reach_;
    std::vector<int> done;
    for (const Lattice& lattice : rows_by_turns(rough_.rules())) {
      // Of the rising lengths of a the first that has so many rows.
      int rows = 1 + 2 * static_cast<int>(room / lattice.b.y);
      if (span_of_rows(lattice, rows + 1).length <= room) ++rows;
      if (!done.empty() && done.back() >= rows) continue;
      done.push_back(rows);
      try_rows(lattice, rows);
    }
  }

  void try_rows(const Lattice& lattice, int rows) {
    if (rows < 2) return;
    const Polished coarse = polish(lattice, rough_.rules(),
                                   {.first_step = 0.03 * reach_,
                                    .last_step = 2e-4 * reach_,
                                    .most_rounds = 40,
                                    .level = true,
                                    .rows = rows,
                                    .room = room_ + 0.01 * reach_});
    if (coarse.depth > 1e-3 * reach_ || !promises(coarse.lattice)) return;
    constexpr double kWithin = 1e-6;  // mm
    take(polish(coarse.lattice, fine_.rules(),
                {.first_step = 0.01 * reach_,
                 .last_step = 1e-6 * reach_,
                 .level = true,
                 .rows = rows,
                 .room = room_ - kWithin}));
  }

  [[nodiscard]] bool promises(const Lattice& lattice) const {
    const StripLay likely = laid(kind_, lattice, shape_, wider_);
    if (likely.rows.empty()) return false;
    return best_.rows.empty() || likely.held > best_.held ||
           likely.length_per_shape() <= 1.02 * best_.length_per_shape();
  }

  void take(const Polished& one) {
    if (one.depth > kTouching) return;
    StripLay lay = laid(kind_, one.lattice, shape_, size_);
    if (lay.rows.empty()) return;
    if (found_) found_->push_back(lay);
    if (best_.rows.empty() || closer(lay, best_)) best_ = std::move(lay);
  }

  const LatticeShape& shape_;
  LatticeKind kind_;
  StripSize size_;
  StripLay& best_;
  std::vector<StripLay>* found_;
  KindOfStrip rough_;
  KindOfStrip fine_;
  double reach_ = 0.0;
  double room_ = 0.0;
  StripSize wider_;
};

}  // namespace

StripLay densest_in_strip(const LatticeShape& shape, const std::vector<LatticeKind>& kinds,
                          const StripSize& size, std::vector<StripLay>* found) {
  StripLay best;
  const Vec2 half = half_size(shape);
  if (size.width < 2.0 * half.y || (size.length > 0.0 && size.length < 2.0 * half.x)) return best;
  for (const LatticeKind kind : kinds) StripSearch(shape, kind, size, best, found).run();
  return best;
}

StripLay closest_of(const LatticeShape& shape, const std::vector<StripHint>& hints, const StripSize& size) {
  StripLay best;
  const Vec2 half = half_size(shape);
  const double reach = 2.0 * std::max(half.x, half.y);
  for (const StripHint& hint : hints) {
    const KindOfStrip fine(shape.parts, hint.kind);
    const Polished polished = polish(hint.lattice, fine.rules(),
                                     {.first_step = 0.01 * reach, .last_step = 1e-6 * reach, .level = true});
    for (const Lattice& lattice : {reduced_level(hint.lattice), polished.lattice}) {
      if (deepest_overlap(lattice, fine.rules()) > kTouching) continue;
      StripLay lay = laid(hint.kind, lattice, shape, size);
      if (!lay.rows.empty() && (best.rows.empty() || closer(lay, best))) best = std::move(lay);
    }
  }
  return best;
}

int shapes_in_sheet(const StripLay& lay, const LatticeShape& shape, double length) {
  const double half = half_size(shape).x;
  const double room = length - 2.0 * half;
  if (room < 0.0) return 0;
  int best = 0;
  for (const StripRow& first : lay.rows) {
    int count = 0;
    for (const StripRow& row : lay.rows) {
      double x = std::fmod(row.x - first.x, lay.period);
      if (x < -1e-9) x += lay.period;
      if (x <= room) count += static_cast<int>(std::floor((room - x) / lay.period + 1e-12)) + 1;
    }
    best = std::max(best, count);
  }
  return best;
}

}  // namespace lastwright
