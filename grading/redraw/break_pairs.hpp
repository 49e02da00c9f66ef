// Breaks of an outline and those of the outline that was drawn in its place, in pairs.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "grading/redraw/outline_ruler.hpp"

namespace lastwright {

struct BreakPairs {
  std::vector<OutlineRuler::Vertex> was;  // both lists in order from the same place
  std::vector<OutlineRuler::Vertex> now;
  std::vector<std::optional<std::size_t>> now_of;  // by old break; none: it has no partner
  std::vector<std::optional<std::size_t>> was_of;  // by new break
};

// By where they are, up to `reach` mm apart, which way they turn, and their order among the others: of all
// ways to pair them so, the one with the least cost. Both lists start in the longest stretch of the old
// outline without a break. With more than kMostVertexPairs nothing is paired: that is no outline of a piece.
BreakPairs pair_breaks(const OutlineRuler& was, const OutlineRuler& now, double reach);

inline constexpr std::size_t kMostVertexPairs = 4'000'000;  // of an old vertex and a new one

// Whether a corner that turns so may be the other, drawn again.
bool turns_alike(const OutlineRuler::Vertex& one, const OutlineRuler::Vertex& other);

}  // namespace lastwright
