// chain_contours: loose ends are found by a grid of cells, so that the work grows with the number of ends.
#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>
#include <unordered_map>

#include "geometry/io/drawing.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

// Ends are numbered: 2 i is the start of path i, 2 i + 1 its end.
using EndIndex = std::size_t;
constexpr EndIndex kNone = static_cast<EndIndex>(-1);
constexpr EndIndex other_end(EndIndex end) {
  return end ^ 1u;
}

struct Cell {
  std::size_t group = 0;
  std::int64_t x = 0;
  std::int64_t y = 0;
  bool operator==(const Cell&) const = default;
};

struct CellHash {
  std::size_t operator()(const Cell& cell) const {
    std::uint64_t h = cell.group;
    for (const std::int64_t part : {cell.x, cell.y}) {
      h = (h ^ static_cast<std::uint64_t>(part)) *
          0x9E3779B97F4A7C15u;  // odd multiplier, mixes all bits upwards
      h ^= h >> 29;
    }
    return h;
  }
};

// Finds which ends lie within the gap of each other, group by group. The cell's diagonal is just below the
// gap, so that ends of one cell are always neighbours and a search that stops at the second neighbour stays
// short even where thousands of ends meet.
class EndGrid {
 public:
  EndGrid(double gap, std::size_t most_ends)
      : gap_(gap), cell_size_(gap * 0.7), taken_(std::bit_ceil(16 * most_ends + 64) / 64) {}

  void add(EndIndex end, std::size_t group, Vec2 at) {
    if (end >= ends_.size()) ends_.resize(end + 1);
    ends_[end] = {at, group};
    const Cell cell = cell_of(group, at);
    cells_[cell].push_back(end);
    const std::size_t bit = CellHash()(cell);
    taken_[bit / 64 % taken_.size()] |= std::uint64_t{1} << (bit % 64);
  }

  // Up to `most` other ends within the gap.
  [[nodiscard]] std::vector<EndIndex> neighbours(EndIndex end, std::size_t most) const {
    const Cell middle = cell_of(ends_[end].group, ends_[end].at);
    std::vector<EndIndex> found;
    const auto look_into = [&](std::int64_t dx, std::int64_t dy) {
      const Cell wanted{middle.group, middle.x + dx, middle.y + dy};
      if (!may_hold(wanted)) return;
      const auto cell = cells_.find(wanted);
      if (cell == cells_.end()) return;
      for (const EndIndex other : cell->second) {
        if (found.size() >= most) return;
        if (other != end && distance(ends_[other].at, ends_[end].at) <= gap_) found.push_back(other);
      }
    };
    look_into(0, 0);  // first, because whatever is here counts
    constexpr std::int64_t kReach = 2;
    for (std::int64_t dx = -kReach; dx <= kReach; ++dx) {
      for (std::int64_t dy = -kReach; dy <= kReach; ++dy) {
        if (dx != 0 || dy != 0) look_into(dx, dy);
      }
    }
    return found;
  }

 private:
  struct End {
    Vec2 at;
    std::size_t group = 0;
  };

  [[nodiscard]] Cell cell_of(std::size_t group, Vec2 at) const {
    return {group, static_cast<std::int64_t>(std::floor(at.x / cell_size_)),
            static_cast<std::int64_t>(std::floor(at.y / cell_size_))};
  }

  // Nearly every cell that is looked into is empty: a few bits that stay near the processor say so.
  [[nodiscard]] bool may_hold(const Cell& cell) const {
    const std::size_t bit = CellHash()(cell);
    return (taken_[bit / 64 % taken_.size()] >> (bit % 64) & 1u) != 0;
  }

  double gap_;
  double cell_size_;
  std::vector<End> ends_;
  std::vector<std::uint64_t> taken_;
  std::unordered_map<Cell, std::vector<EndIndex>, CellHash> cells_;
};

class Chainer {
 public:
  Chainer(const Drawing& drawing, double gap) : drawing_(drawing), gap_(gap) {}

  ChainedContours run() {
    collect_ends();
    join_ends();
    std::vector<bool> done(drawing_.paths.size(), false);
    for (std::size_t i = 0; i < drawing_.paths.size(); ++i) {
      const DrawnPath& path = drawing_.paths[i];
      if (done[i] || path.curves.empty()) continue;
      if (path.closed) {
        out_.contours.push_back({{path.curves}, true, 0.0, path.from, {i}});
      } else {
        walk(i, done);
      }
    }
    return std::move(out_);
  }

 private:
  void collect_ends() {
    std::map<std::pair<std::size_t, std::string>, std::size_t> groups;
    joined_.assign(2 * drawing_.paths.size(), kNone);
    for (std::size_t i = 0; i < drawing_.paths.size(); ++i) {
      const DrawnPath& path = drawing_.paths[i];
      if (path.closed || path.curves.empty()) continue;
      const std::size_t group =
          groups.try_emplace({path.from.insert, path.from.layer}, groups.size()).first->second;
      loose_.push_back(2 * i);
      loose_.push_back(2 * i + 1);
      group_of_.resize(i + 1);
      group_of_[i] = group;
    }
  }

  // Ends on the same point first: otherwise a segment shorter than the gap would look like a branch.
  void join_ends() {
    join_within(tolerance::kSamePoint.value());
    if (gap_ > tolerance::kSamePoint.value()) join_within(gap_);
  }

  void join_within(double gap) {
    EndGrid grid(gap, loose_.size());
    for (const EndIndex end : loose_) grid.add(end, group_of_[end / 2], at(end));
    std::vector<EndIndex> partner(joined_.size(), kNone);
    std::vector<EndIndex> branching;
    for (const EndIndex end : loose_) {
      const std::vector<EndIndex> near = grid.neighbours(end, 2);
      if (near.size() == 1) partner[end] = near.front();
      if (near.size() > 1) branching.push_back(end);
    }
    std::vector<EndIndex> still_loose;
    for (const EndIndex end : loose_) {
      const EndIndex other = partner[end];
      if (other != kNone && partner[other] == end) {
        joined_[end] = other;
      } else if (!std::binary_search(branching.begin(), branching.end(), end)) {
        still_loose.push_back(end);
      }
    }
    loose_ = std::move(still_loose);
    report(branching, gap);
  }

  // One report a place: the ends of a branch see each other.
  void report(const std::vector<EndIndex>& branching, double gap) {
    EndGrid reported(2.0 * gap, branching.size());
    for (const EndIndex end : branching) {
      const std::size_t path = end / 2;
      reported.add(end, group_of_[path], at(end));
      const std::vector<EndIndex> earlier = reported.neighbours(end, 1);
      if (!earlier.empty()) continue;
      const DrawnFrom& from = drawing_.paths[path].from;
      const Vec2 where = at(end);
      Problem problem{
          Trouble::kGeometry,
          fmt::format("three or more loose ends meet at ({:.3f}, {:.3f}); it is not clear which belong "
                      "together, so none were joined there",
                      where.x, where.y),
          {},
          {},
          {}};
      problem.place.file = drawing_.file;
      problem.place.line = from.line;
      problem.place.named.emplace_back("layer", from.layer);
      if (!from.block.empty()) problem.place.named.emplace_back("block", from.block);
      out_.problems.push_back(std::move(problem));
    }
  }

  // Starts at the open end of the run that path i belongs to, in the direction that path i is drawn in.
  void walk(std::size_t i, std::vector<bool>& done) {
    EndIndex entry = 2 * i;
    bool closed = false;
    while (joined_[entry] != kNone) {
      entry = other_end(joined_[entry]);
      if (entry == 2 * i) {
        closed = true;
        break;
      }
    }
    Contour contour;
    contour.closed = closed;
    contour.from = drawing_.paths[i].from;
    const EndIndex first = entry;
    while (true) {
      const DrawnPath& path = drawing_.paths[entry / 2];
      done[entry / 2] = true;
      contour.paths.push_back(entry / 2);
      append(contour.raw.curves, path, entry % 2 == 1);
      const EndIndex exit = other_end(entry);
      const EndIndex next = joined_[exit];
      if (next == kNone) break;
      contour.widest_gap = std::max(contour.widest_gap, distance(at(exit), at(next)));
      if (next == first) break;
      entry = next;
    }
    out_.contours.push_back(std::move(contour));
  }

  static void append(std::vector<Curve>& curves, const DrawnPath& path, bool backwards) {
    if (!backwards) {
      curves.insert(curves.end(), path.curves.begin(), path.curves.end());
      return;
    }
    for (std::size_t k = path.curves.size(); k-- > 0;) curves.push_back(reversed(path.curves[k]));
  }

  [[nodiscard]] Vec2 at(EndIndex end) const {
    const std::vector<Curve>& curves = drawing_.paths[end / 2].curves;
    return end % 2 == 1 ? end_of(curves.back()) : start_of(curves.front());
  }

  const Drawing& drawing_;
  double gap_;
  std::vector<EndIndex> loose_;        // not joined yet, rising
  std::vector<std::size_t> group_of_;  // by path
  std::vector<EndIndex> joined_;       // by end
  ChainedContours out_;
};

}  // namespace

ChainedContours chain_contours(const Drawing& drawing, Millimetres gap) {
  return Chainer(drawing, std::max(gap, tolerance::kSamePoint).value()).run();
}

}  // namespace lastwright
