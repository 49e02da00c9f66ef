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
#include "geometry/io/drawn_place.hpp"
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
    resolve_branches();
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
    find_places(branching, gap);
  }

  // Ends that see each other meet in one place.
  void find_places(const std::vector<EndIndex>& branching, double gap) {
    EndGrid grid(gap, branching.size());
    for (const EndIndex end : branching) grid.add(end, group_of_[end / 2], at(end));
    place_of_.resize(joined_.size(), kNone);
    for (const EndIndex end : branching) {
      if (place_of_[end] != kNone) continue;
      std::vector<EndIndex> waiting{end};
      place_of_[end] = places_.size();
      places_.emplace_back();
      gaps_.push_back(gap);
      while (!waiting.empty()) {
        const EndIndex here = waiting.back();
        waiting.pop_back();
        places_.back().push_back(here);
        for (const EndIndex other : grid.neighbours(here, kMostMeeting)) {
          if (place_of_[other] != kNone) continue;
          place_of_[other] = place_of_[end];
          waiting.push_back(other);
        }
      }
      std::sort(places_.back().begin(), places_.back().end());
    }
  }

  // The end at which a run of joined paths stops that has `end` at its other side.
  [[nodiscard]] EndIndex across(EndIndex end) const {
    EndIndex here = other_end(end);
    while (joined_[here] != kNone) here = other_end(joined_[here]);
    return here;
  }

  void resolve_branches() {
    if (places_.empty()) return;
    far_.assign(joined_.size(), kNone);
    for (const std::vector<EndIndex>& place : places_) {
      for (const EndIndex end : place) {
        if (far_[end] != kNone) continue;
        far_[end] = across(end);
        far_[far_[end]] = end;
      }
    }
    std::vector<std::size_t> waiting(places_.size());
    for (std::size_t i = 0; i < waiting.size(); ++i) waiting[i] = waiting.size() - 1 - i;
    const std::vector<std::vector<EndIndex>> met = places_;
    std::vector<bool> joined_here(places_.size(), false);
    while (!waiting.empty()) {
      const std::size_t place = waiting.back();
      waiting.pop_back();
      settle(place, waiting, joined_here);
    }
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (places_[i].size() > 1 || (!joined_here[i] && met[i].size() > 2)) report(met[i]);
    }
  }

  // Takes out of a place what cannot go on there, and joins what is left if it is two.
  void settle(std::size_t index, std::vector<std::size_t>& waiting, std::vector<bool>& joined_here) {
    std::vector<EndIndex>& place = places_[index];
    if (place.size() > kMostMeeting) return;
    const auto take_out = [&](EndIndex end) {
      place.erase(std::remove(place.begin(), place.end(), end), place.end());
      place_of_[end] = kNone;
    };
    // Ends that meet by way of others may be farther apart than what is joined.
    const auto near = [&](EndIndex a, EndIndex b) { return distance(at(a), at(b)) <= gaps_[index]; };
    const auto join = [&](EndIndex a, EndIndex b) {
      joined_[a] = b;
      joined_[b] = a;
      take_out(a);
      take_out(b);
      joined_here[index] = true;
      if (far_[a] == b) return;  // closed
      const EndIndex ends[] = {far_[a], far_[b]};
      far_[ends[0]] = ends[1];
      far_[ends[1]] = ends[0];
      for (const EndIndex end : ends) {
        if (place_of_[end] != kNone) waiting.push_back(place_of_[end]);
      }
    };
    for (std::size_t i = 0; i < place.size();) {
      const EndIndex end = place[i];
      const EndIndex far = far_[end];
      if (place_of_[far] == index && place.size() > 2 && near(end, far)) {
        join(end, far);
        i = 0;
      } else if (place_of_[far] == kNone) {
        take_out(end);
        i = 0;
      } else {
        ++i;
      }
    }
    if (place.size() == 2) {
      if (near(place[0], place[1])) join(place[0], place[1]);
    } else if (place.size() == 1) {
      const EndIndex far = far_[place.front()];
      take_out(place.front());
      if (place_of_[far] != kNone) waiting.push_back(place_of_[far]);
    }
  }

  void report(const std::vector<EndIndex>& ends) {
    const std::size_t path = ends.front() / 2;
    const DrawnFrom& from = drawing_.paths[path].from;
    const Vec2 where = at(ends.front());
    std::vector<long> lines;
    for (const EndIndex end : ends) lines.push_back(drawing_.paths[end / 2].from.line);
    std::sort(lines.begin(), lines.end());
    lines.erase(std::unique(lines.begin(), lines.end()), lines.end());
    constexpr std::size_t kMostLines = 6;
    std::string listed;
    for (std::size_t i = 0; i < lines.size() && i < kMostLines; ++i)
      listed += fmt::format("{}{}", i == 0 ? "" : ", ", lines[i]);
    if (lines.size() > kMostLines) listed += ", ...";
    Problem problem{
        Trouble::kGeometry,
        fmt::format(
            "{} loose ends meet at {}, of the entities in the lines {}; it is not clear which "
            "belong together, so none were joined there. Remove what is not part of an outline, draw an edge "
            "that two outlines share once for each of them, and put each outline on a layer of its own",
            ends.size(), drawn_place(drawing_, where), listed),
        {},
        {},
        {}};
    problem.place.file = drawing_.file;
    problem.place.line = from.line;
    problem.place.named.emplace_back("layer", from.layer);
    if (!from.block.empty()) problem.place.named.emplace_back("block", from.block);
    out_.problems.push_back(std::move(problem));
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
  std::vector<EndIndex> loose_;                    // not joined yet, rising
  std::vector<std::size_t> group_of_;              // by path
  std::vector<EndIndex> joined_;                   // by end
  static constexpr std::size_t kMostMeeting = 16;  // in one place: more are nobody's outlines
  std::vector<std::vector<EndIndex>> places_;  // where more than two ends meet, those that are not joined yet
  std::vector<double> gaps_;                   // within which the ends of each place meet
  std::vector<std::size_t> place_of_;          // by end
  std::vector<EndIndex> far_;                  // of the ends of runs that stop in such a place: the other one
  ChainedContours out_;
};

}  // namespace

ChainedContours chain_contours(const Drawing& drawing, Millimetres gap) {
  return Chainer(drawing, std::max(gap, tolerance::kSamePoint).value()).run();
}

}  // namespace lastwright
