#include "geometry/lattice/polish_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/lattice/small_program.hpp"

namespace lastwright {

namespace {

// Of the cell that a search begins with. Shapes that lie free of each other cover a tenth of it and more.
constexpr double kLeastCell = 0.1;

// That are looked at of one lattice, some hundred times what any packing has: one with more is no packing,
// and counts as one that overlaps without end.
constexpr std::size_t kMostContacts = 50'000;

// A half plane for the offset i a + j b (+ second).
struct PairTouch {
  LatticeStep step;
  bool mixed;
  Separation line;
};

struct Seen {
  std::vector<PairTouch> contacts;
  RowSpan span;  // where rows are asked for
  double depth = 0.0;
  [[nodiscard]] bool too_many() const { return contacts.size() > kMostContacts; }
};

void look(const Lattice& lattice, const SumObstacle& obstacle, bool mixed, double step, Seen& seen) {
  const Vec2 from = mixed ? *lattice.second : Vec2{};
  const double margin = 8.0 * step;
  std::vector<Separation> found;
  for (const LatticeStep& at :
       steps_within(lattice, from, obstacle.box().centre(), obstacle.radius() + margin)) {
    // Of shapes alike each offset and its opposite say the same.
    if (!mixed && (at.i < 0 || (at.i == 0 && at.j <= 0))) continue;
    const Vec2 v = from + at.i * lattice.a + at.j * lattice.b;
    const double reach = 1.5 * step * (std::abs(at.i) + std::abs(at.j) + (mixed ? 1 : 0));
    found.clear();
    obstacle.near(v, reach, found);
    for (const Separation& line : found) {
      seen.contacts.push_back({at, mixed, line});
      seen.depth = std::max(seen.depth, -line.apart);
    }
    if (!seen.too_many()) continue;
    seen.depth = std::numeric_limits<double>::infinity();
    return;
  }
}

Seen look_all(const Lattice& lattice, const LatticeRules& rules, double step) {
  Seen seen;
  look(lattice, *rules.same, false, step, seen);
  if (rules.other) look(lattice, *rules.other, false, step, seen);
  if (rules.mixed) look(lattice, *rules.mixed, true, step, seen);
  return seen;
}

// Rows that reach too far count as an overlap does.
Seen look(const Lattice& lattice, const LatticeRules& rules, double step, const PolishOptions& options) {
  Seen seen = look_all(lattice, rules, step);
  if (options.rows > 0) {
    seen.span = span_of_rows(lattice, options.rows);
    seen.depth = std::max(seen.depth, seen.span.length - options.room);
  }
  return seen;
}

// Variables: the six changes as ups and downs, and how much of the greatest overlap is taken back.
Lattice changed(const Lattice& from, const Seen& seen, double step, double price,
                const PolishOptions& options) {
  const std::size_t count = from.second ? 6 : 4;
  const std::size_t relief = 2 * count;
  SmallProgram program(relief + 1);
  // The cell's area changes by cross(da, b) + cross(a, db).
  const double gradient[4] = {from.b.y, -from.b.x, -from.a.y, from.a.x};
  // Of rows within a room only a matters.
  for (std::size_t k = 0; k < (options.rows > 0 ? 1U : 4U); ++k) {
    program.maximise(k, -gradient[k]);
    program.maximise(count + k, gradient[k]);
  }
  program.maximise(relief, price);
  for (std::size_t k = 0; k < relief; ++k) {
    double* row = program.add_row(options.level && k % count == 1 ? 0.0 : step);
    row[k] = 1.0;
  }
  program.add_row(seen.depth)[relief] = 1.0;
  if (options.rows > 0) {
    double* row = program.add_row(std::max(0.0, options.room + seen.depth - seen.span.length));
    row[3] = seen.span.steps;
    row[count + 3] = -seen.span.steps;
    if (from.second) {
      row[5] = seen.span.seconds;
      row[count + 5] = -seen.span.seconds;
    }
    row[relief] = 1.0;
  }
  for (const PairTouch& contact : seen.contacts) {
    const double limit = contact.line.apart + seen.depth;
    double* row = program.add_row(std::max(0.0, limit));
    const Vec2 n = contact.line.normal;
    const double coefficient[6] = {
        contact.step.i * n.x, contact.step.i * n.y, contact.step.j * n.x, contact.step.j * n.y, n.x, n.y};
    const std::size_t used = contact.mixed ? 6 : 4;
    for (std::size_t k = 0; k < used; ++k) {
      row[k] = -coefficient[k];
      row[count + k] = coefficient[k];
    }
    row[relief] = 1.0;
  }
  const std::vector<double> x = program.solve();
  double d[6] = {0, 0, 0, 0, 0, 0};
  for (std::size_t k = 0; k < count; ++k) d[k] = x[k] - x[count + k];
  Lattice to = from;
  to.a += Vec2{d[0], d[1]};
  to.b += Vec2{d[2], d[3]};
  if (to.second) *to.second += Vec2{d[4], d[5]};
  return to;
}

}  // namespace

RowSpan span_of_rows(const Lattice& lattice, int rows) {
  if (!lattice.second) return {rows - 1, 0, (rows - 1) * lattice.b.y};
  // The rows of the second shapes part the steps along b in two: up to the next second one, and on from it.
  const int up = static_cast<int>(-std::floor(lattice.second->y / lattice.b.y));
  const double part = lattice.second->y + up * lattice.b.y;
  const int pairs = (rows - 1) / 2;
  if (rows % 2 == 1) return {pairs, 0, pairs * lattice.b.y};
  if (2.0 * part <= lattice.b.y) return {pairs + up, 1, pairs * lattice.b.y + part};
  return {pairs + 1 - up, -1, (pairs + 1) * lattice.b.y - part};
}

Polished polish(const Lattice& start, const LatticeRules& rules, const PolishOptions& options) {
  const auto tidy = [&](const Lattice& lattice) {
    return options.level ? reduced_level(lattice) : reduced(lattice);
  };
  Lattice now = tidy(start);
  double step = options.first_step;
  Seen seen = look(now, rules, step, options);
  std::size_t contacts = seen.contacts.size();
  if (seen.too_many()) return {now, now.cell_area(), seen.depth, contacts};
  const double price = 10.0 * (norm(now.a) + norm(now.b));
  const double height = now.b.y;
  // Where shapes lie as deep in each other as can be, a smaller cell costs nothing: round by round it would
  // come to nothing, and see ever more shapes.
  const double least_cell = kLeastCell * now.cell_area();
  const auto merit = [&](const Lattice& lattice, double depth) {
    return (options.rows > 0 ? lattice.a.x * height : lattice.cell_area()) + price * depth;
  };
  for (int round = 0; round < options.most_rounds && step >= options.last_step; ++round) {
    const Lattice next = tidy(changed(now, seen, step, price, options));
    const double kept = merit(now, seen.depth);
    const bool sound = next.cell_area() > least_cell;
    Seen ahead = sound ? look(next, rules, step, options) : Seen{};
    contacts += ahead.contacts.size();
    const double gain = sound && !ahead.too_many() ? kept - merit(next, ahead.depth) : -1.0;
    if (gain <= 1e-13 * kept) {
      step *= 0.3;  // what was seen in a wider box holds in a narrower one
      continue;
    }
    now = next;
    seen = std::move(ahead);
    // A step that brings little is too long for what is left to gain.
    if (gain < 0.05 * step * step) {
      step *= 0.5;
    } else if (1.4 * step <= options.first_step) {
      step *= 1.4;
      seen = look(now, rules, step, options);
    }
  }
  return {now, now.cell_area(), deepest_overlap(now, rules), contacts};
}

double deepest_overlap(const Lattice& lattice, const LatticeRules& rules) {
  return look_all(reduced(lattice), rules, 0.0).depth;
}

}  // namespace lastwright
