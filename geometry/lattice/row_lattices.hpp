// Level lattices of which a given number of rows lies within a room: where a strip holds one row more when
// the rows are shifted along and the shapes in them stand farther apart, or stand in columns shifted across.
#pragma once

#include <optional>
#include <vector>

#include "geometry/lattice/lattice.hpp"
#include "geometry/lattice/polish_lattice.hpp"

namespace lastwright {

// Of one shape a cell, the lattice with the shortest a among those whose rows lie `step` apart, within
// rounding: all pairs of contacts that can hold it are tried. None whose a is not shorter than `below`.
std::optional<Lattice> shortest_of_rows(const SumObstacle& same, double step, double below);

// Of two shapes a cell, rows of both by turns, each as close on the one before as the outlines of the rows
// allow: for a number of lengths of a, rising. To be polished.
std::vector<Lattice> rows_by_turns(const LatticeRules& rules);

// The least distance along x at which two like shapes lie beside each other, and all farther ones too.
double level_distance(const SumObstacle& same);

// Straight columns: a along x, b along y, the shapes of a column one above the other, each second one moved
// by `shift` along x. `step` is the least b that is asked for; the columns lie as close as these allow.
Lattice straight_columns(const LatticeRules& rules, double shift, double step);

}  // namespace lastwright
