// How many dies cut both feet of a piece, and why.
#pragma once

#include <string>
#include <vector>

#include "geometry/units.hpp"
#include "grading/dies/die.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

enum class HandMode {
  kPair,       // two dies, mirror images
  kSymmetric,  // one die, the piece is its own mirror image
  kTurned,     // one die, the material is turned over: it has two good sides
  kTwoEdged,   // one die with two cutting edges, itself turned over
};
const char* name_of(HandMode mode);
struct HandChoice {
  HandMode mode = HandMode::kPair;
  std::string why;
  bool by_marks = false;   // decided by its nicks and pricks, of which each die has its own number
  std::string ahead = {};  // words of `why` ahead of those
  [[nodiscard]] int dies() const { return mode == HandMode::kPair ? 2 : 1; }
};

// An outline that is its own mirror image within this is cut by one die: below what a rule can be bent to
// (0.13 mm either way, by common practice of rule dies).
inline constexpr Millimetres kMirrorImage{0.1};

// How many of a die's hands, and why. `mirror_deviation`: how far the outline is from its own mirror image,
// mm. `nicks_both_edges`: the works makes nicks that both edges of a two-edged die cut.
HandChoice choose_hands(const PieceSpec& piece, const DieShape& shape, double mirror_deviation,
                        bool two_edged, bool nicks_both_edges = false);
// The same choice for one die of the piece: what it says of nicks and pricks is of those that the die has.
HandChoice hands_of_die(HandChoice choice, const DieShape& die, bool nicks_both_edges);
// Of these outlines of a piece the one whose marks decide: with the most pricks, else the most nicks.
const DieShape& most_marked(const std::vector<const DieShape*>& shapes);
// Least two-sided deviation of the outline from its mirror image over rigid placements near its principal
// axes, mm.
double mirror_deviation(const DieShape& shape);
// The same for the mirror image in one given line through two points, without a search.
double mirror_deviation(const DieShape& shape, Vec2 from, Vec2 to);

}  // namespace lastwright
