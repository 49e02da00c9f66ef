// A lattice moved, stretched and sheared until no small change makes its cell smaller.
#pragma once

#include "geometry/lattice/lattice.hpp"
#include "geometry/lattice/sum_obstacle.hpp"

namespace lastwright {

// Which offsets are forbidden: of the first shape from itself, of the second from itself, of the second from
// the first. The last two only where the cell holds a second shape; `other` is null where a second shape
// forbids what the first does.
struct LatticeRules {
  const SumObstacle* same = nullptr;
  const SumObstacle* other = nullptr;
  const SumObstacle* mixed = nullptr;
};

struct PolishOptions {
  double first_step = 1.0;  // mm, greatest first change of a vector
  double last_step = 1e-6;  // mm; the cell is then within about last_step^2 of the best near by
  int most_rounds = 200;
  bool level = false;  // a stays along x: a cell whose rows run along a roll
  // With rows, and level: not the cell is made small but a short, while so many rows lie within `room`
  // across, from the middle of a shape to the middle of one.
  int rows = 0;
  double room = 0.0;
};

struct Polished {
  Lattice lattice;
  double area = 0.0;   // of the cell
  double depth = 0.0;  // greatest overlap left, as a length: the start may overlap, and where no way out of
                       // it was found the end does; whether the rows lie within the room is not in it
  std::size_t contacts = 0;  // that were looked at in all: the work
};

// Rounds of linear programs within a shrinking box of changes: each contact keeps to the half plane of the
// edge it is at, so a round never makes an overlap that was not there. The cell never becomes smaller than a
// tenth of what it was at first, so the work of a round is bounded.
Polished polish(const Lattice& start, const LatticeRules& rules, const PolishOptions& options);

// How far across so many rows of a level lattice reach, from middle to middle, where they lie closest; each
// second shape has a row of its own. As so many steps along b and so many from a first to a second shape.
struct RowSpan {
  int steps = 0;
  int seconds = 0;
  double length = 0.0;
};
RowSpan span_of_rows(const Lattice& lattice, int rows);

// The greatest overlap of any two shapes of the lattice, as a length: 0 when it is a packing.
double deepest_overlap(const Lattice& lattice, const LatticeRules& rules);

}  // namespace lastwright
