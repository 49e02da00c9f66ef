#include "geometry/lattice/row_lattices.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

constexpr double kTouch = 1e-9;  // mm

struct Interval {
  double low = 0.0;
  double high = 0.0;
};

// What is forbidden at a height, as intervals of x, or of y where `upright`; open, rising and apart.
std::vector<Interval> forbidden_at(const SumObstacle& obstacle, double at, bool upright) {
  std::vector<Interval> found;
  for (const Polygon& polygon : obstacle.polygons()) {
    Interval part{1e300, -1e300};
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      Vec2 p = polygon[i];
      Vec2 q = polygon[i + 1 == polygon.size() ? 0 : i + 1];
      if (upright) {
        std::swap(p.x, p.y);
        std::swap(q.x, q.y);
      }
      if ((p.y <= at) == (q.y <= at)) continue;
      const double x = p.x + (at - p.y) / (q.y - p.y) * (q.x - p.x);
      part.low = std::min(part.low, x);
      part.high = std::max(part.high, x);
    }
    if (part.high > part.low + kTouch) found.push_back(part);
  }
  std::sort(found.begin(), found.end(),
            [](const Interval& one, const Interval& other) { return one.low < other.low; });
  std::vector<Interval> joined;
  for (const Interval& part : found) {
    if (!joined.empty() && part.low < joined.back().high - kTouch) {
      joined.back().high = std::max(joined.back().high, part.high);
    } else {
      joined.push_back(part);
    }
  }
  return joined;
}

// Rows at 0, step, 2 step ...: what is forbidden in each of a shape in the first.
using ForbiddenRows = std::vector<std::vector<Interval>>;

bool lies_free(const ForbiddenRows& rows, double a, double shift) {
  for (std::size_t j = 0; j < rows.size(); ++j) {
    const double from = static_cast<double>(j) * shift;
    for (const Interval& part : rows[j]) {
      double i = std::floor((part.low + kTouch - from) / a) + 1.0;
      if (j == 0) i = std::max(i, 1.0);
      if (i * a + from < part.high - kTouch) return false;
    }
  }
  return true;
}

// Along one edge of a forbidden interval: i a + j shift = at.
struct HeldRow {
  double i = 0.0;
  double j = 0.0;
  double at = 0.0;
};

std::vector<HeldRow> contacts_of(const ForbiddenRows& rows, double shortest) {
  std::vector<HeldRow> contacts;
  for (std::size_t j = 0; j < rows.size(); ++j) {
    const auto row = static_cast<double>(j);
    for (const Interval& part : rows[j]) {
      for (const double at : {part.low, part.high}) {
        // The shift is at least 0 and less than a.
        const double most = std::floor(std::max(0.0, at) / shortest);
        const double least = j == 0 ? 1.0 : std::floor(std::min(0.0, at) / shortest) - row;
        for (double i = least; i <= most; i += 1.0) contacts.push_back({i, row, at});
      }
    }
  }
  return contacts;
}

// How far up from a shape the next row begins, at shifts of a whole number of steps of a / `steps`.
class RowTops {
 public:
  // `down`: how far down from it the row before it begins.
  RowTops(const SumObstacle& obstacle, bool down) : low_(obstacle.box().low.x) {
    const double width = obstacle.box().width();
    spacing_ = width / kSamples;
    for (int k = 0; k <= kSamples; ++k) {
      const std::vector<Interval> there = forbidden_at(obstacle, low_ + k * spacing_, true);
      double top = -1e300;
      if (!there.empty()) top = down ? -there.front().low : there.back().high;
      tops_.push_back(top);
    }
  }
  [[nodiscard]] std::vector<double> at_shifts(double a, int steps, bool down) const {
    std::vector<double> least(static_cast<std::size_t>(steps), 0.0);
    for (int s = 0; s < steps; ++s) {
      const double shift = (down ? -s : s) * a / steps;
      for (double i = std::ceil((low_ - shift) / a);; i += 1.0) {
        const double x = shift + i * a;
        const double k = std::round((x - low_) / spacing_);
        if (k > kSamples) break;
        double& here = least[static_cast<std::size_t>(s)];
        if (k >= 0.0) here = std::max(here, tops_[static_cast<std::size_t>(k)]);
      }
    }
    return least;
  }

 private:
  static constexpr int kSamples = 240;
  double low_ = 0.0;
  double spacing_ = 0.0;
  std::vector<double> tops_;
};

}  // namespace

double level_distance(const SumObstacle& same) {
  const std::vector<Interval> there = forbidden_at(same, 0.0, false);
  return there.empty() ? 0.0 : there.back().high;
}

Lattice straight_columns(const LatticeRules& rules, double shift, double step) {
  Lattice lattice;
  // How far what is forbidden reaches at an offset of so much across, or along where `upright`.
  const auto reach = [](const SumObstacle& obstacle, double at, bool upright) {
    const std::vector<Interval> there = forbidden_at(obstacle, at, upright);
    return there.empty() ? Interval{} : Interval{there.front().low, there.back().high};
  };
  double high = std::max(step, reach(*rules.same, 0.0, true).high);
  if (rules.other) high = std::max(high, reach(*rules.other, 0.0, true).high);
  if (rules.mixed) {
    const Interval mixed = reach(*rules.mixed, shift, true);
    const double up = std::max(0.0, mixed.high);
    const double down = std::max(0.0, -mixed.low);
    const double spare = std::max(0.0, high - up - down);
    high = up + down + spare;
    lattice.second = Vec2{shift, up + 0.5 * spare};
  }
  double along = 0.0;
  const auto keep_clear = [&](const SumObstacle& obstacle, Vec2 from) {
    for (double j = std::ceil((obstacle.box().low.y - from.y) / high);
         j * high + from.y < obstacle.box().high.y; j += 1.0) {
      const Interval there = reach(obstacle, from.y + j * high, false);
      along = std::max({along, there.high - from.x, from.x - there.low});
    }
  };
  keep_clear(*rules.same, {});
  if (rules.other) keep_clear(*rules.other, {});
  if (rules.mixed) keep_clear(*rules.mixed, *lattice.second);
  lattice.a = {along, 0.0};
  lattice.b = {0.0, high};
  return lattice;
}

std::optional<Lattice> shortest_of_rows(const SumObstacle& same, double step, double below) {
  ForbiddenRows rows;
  for (double y = 0.0; y < same.box().high.y; y += step) rows.push_back(forbidden_at(same, y, false));
  constexpr std::size_t kMostRows = 40;
  if (rows.empty() || rows.front().empty() || rows.size() > kMostRows) return {};
  // Nothing is shorter than the first interval on from 0, which all shapes alike have.
  double shortest = 0.0;
  for (const Interval& part : rows.front()) {
    if (part.low < 0.0 && part.high > 0.0) shortest = part.high;
  }
  if (!(shortest > 0.0) || shortest >= below) return {};
  const std::vector<HeldRow> contacts = contacts_of(rows, shortest);
  std::optional<Lattice> best;
  double least = below;
  const auto consider = [&](double a, double shift) {
    if (!(a >= shortest - kTouch && a < least)) return;
    shift -= std::floor(shift / a) * a;
    if (!lies_free(rows, a, shift)) return;
    least = a;
    best = Lattice{{a, 0.0}, {shift, step}, {}};
  };
  if (rows.size() == 1) {
    for (const HeldRow& one : contacts) consider(one.at / one.i, 0.0);
    return best;
  }
  for (std::size_t k = 0; k < contacts.size(); ++k) {
    for (std::size_t l = k + 1; l < contacts.size(); ++l) {
      const HeldRow& one = contacts[k];
      const HeldRow& other = contacts[l];
      const double turn = one.i * other.j - one.j * other.i;
      if (turn == 0.0) continue;
      consider((one.at * other.j - one.j * other.at) / turn, (one.i * other.at - one.at * other.i) / turn);
    }
  }
  return best;
}

std::vector<Lattice> rows_by_turns(const LatticeRules& rules) {
  constexpr int kLengths = 48;
  constexpr int kShifts = 48;
  double closest = level_distance(*rules.same);
  if (rules.other) closest = std::max(closest, level_distance(*rules.other));
  const RowTops same(*rules.same, false);
  const RowTops other(rules.other ? *rules.other : *rules.same, false);
  const RowTops second(*rules.mixed, false);
  const RowTops first(*rules.mixed, true);
  std::vector<Lattice> found;
  for (int k = 0; k < kLengths; ++k) {
    const double a = closest * (1.0 + 1.1 * k / (kLengths - 1));
    const std::vector<double> on_same = same.at_shifts(a, kShifts, false);
    const std::vector<double> on_other = other.at_shifts(a, kShifts, false);
    const std::vector<double> up = second.at_shifts(a, kShifts, false);
    const std::vector<double> down = first.at_shifts(a, kShifts, true);
    const auto at = [](const std::vector<double>& least, int shift) {
      return least[static_cast<std::size_t>(shift % kShifts)];
    };
    std::optional<Lattice> best;
    for (int s = 0; s < kShifts; ++s) {
      for (int t = 0; t < kShifts; ++t) {
        double one = at(up, s);
        double next = at(down, t);
        // What lies two and three rows and four on.
        const double short_by = std::max(at(on_same, s + t), at(on_other, s + t)) - one - next;
        if (short_by > 0.0) {
          one += 0.5 * short_by;
          next += 0.5 * short_by;
        }
        const double third = std::max({(at(up, 2 * s + t) - 2.0 * one - next) / 3.0,
                                       (at(down, s + 2 * t) - one - 2.0 * next) / 3.0,
                                       (at(on_same, 2 * (s + t)) - 2.0 * (one + next)) / 4.0, 0.0});
        one += third;
        next += third;
        if (one + next <= 0.0 || (best && one + next >= best->b.y)) continue;
        best = Lattice{{a, 0.0}, {(s + t) * a / kShifts, one + next}, Vec2{s * a / kShifts, one}};
      }
    }
    if (best) found.push_back(*best);
  }
  return found;
}

}  // namespace lastwright
