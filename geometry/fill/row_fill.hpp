// Rows of like shapes laid in a region, as one die cuts them one beside the other.
//
// A row is a chain of one shape, each the same step behind the one before, or two such chains half turned
// against each other that interlock: of the level lattices of the shape the one whose chain takes least,
// along the shape and across it. Rows are laid as wholes, the largest shapes and the longest rows first, each
// as far to the left as it goes.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "geometry/fill/fill_shape.hpp"

namespace lastwright {

struct RowStep {
  Vec2 at;            // of the shape's origin in the first link of the chain
  bool half = false;  // turned half round
};

struct RowChain {
  std::vector<RowStep> link;  // one or two shapes
  Vec2 step;                  // from one link to the next
};

// Of a shape in convex parts round its origin, one along x and one along y, the one that takes less first.
// Empty where none was found.
std::vector<RowChain> row_chains(const std::vector<Polygon>& parts, bool half_turned);

struct RowSource {
  std::vector<Polygon> parts;  // convex, together the shape, round its origin
  std::vector<Radians> turns;  // in any of which a row may lie
  std::vector<RowChain> chains;
  std::size_t count = 0;                // how many there are to lay
  std::vector<std::size_t> regions{0};  // a row lies wholly inside any one of these
  std::vector<Polygon> kept_out = {};   // convex, where this kind may not lie
  // What else the place of every shape of a row must be, in that turn of the row; nothing: any will do.
  std::function<bool(std::size_t turn, Vec2 at)> allowed = {};
};

struct RowPlace {
  std::size_t kind = 0;
  std::size_t row = 0;  // which row it is of
  Radians turn;
  Vec2 at;
};

// Of a shape's rows: those of the chain that takes less, then those of the other; or the longest of both.
enum class RowOrder { kCloserChain, kLongestFirst };

// As many as were found to lie in rows of at least `least`; the others are left to be laid singly. Bounded:
// of a kind no more rows are tried than it could have, and one more for each length of row and chain, of
// which there are few.
std::vector<RowPlace> lay_rows(const std::vector<FillRegion>& regions, const std::vector<RowSource>& kinds,
                               std::size_t least, RowOrder order);

}  // namespace lastwright
