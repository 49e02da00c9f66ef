// Chooses the dies of a whole style: every piece, size and width served, mates still matching, as few or as
// cheap as can be, with a lower bound.
//
// Pieces that share no seam are apart and each is an exact
// set cover. Pieces joined by seams are solved together:
//   1. choices that no mate can match are struck out, round after round, until none is left to strike
//      (grading/dies/plan/tie_domains); what a forced tie holds together keeps the same choices;
//      (a new die that serves one demand only is its own outline: others are not looked at)
//   2. mates that only match when cut at the same place of the grade are locked together and solved as one;
//   3. the groups are covered one after another, the most bound first, striking after each; also all as one;
//   4. dies left with one demand take its own outline where they may (grading/dies/plan/tie_own);
//   5. the sum of the groups' own bounds after step 2 bounds every solution: equal to the cost, it proves it;
//   6. where it does not, the relaxation of all groups together (grading/dies/plan/tie_joint) gives a greater
//      bound, and what it uses is covered once more;
//   7. what still costs more than the bound is chosen anew a few sizes and widths at a time
//      (grading/dies/plan/tie_windows);
//   8. of least cost first, then of dies inside: pieces joined by seams are chosen without what lies outside
//      (TiePiece::outside) too, and so where it costs no more; where it does, groups are covered anew as if
//      dies outside were dearer (grading/dies/plan/tie_inside). The bound is that of all choices;
//   9. of these choices one in which the fewest dies that are there are to be stamped anew
//      (grading/dies/plan/tie_stamps), then dies that are there serve the sizes whose outline they are.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "grading/dies/plan/tie_cover.hpp"
#include "grading/dies/plan/tie_serve.hpp"

namespace lastwright {

// What a die that is there bears, and how many dies it stands for (left and right) are to be stamped anew.
struct TieStamp {
  std::vector<std::uint32_t> bears;  // demands, ascending
  int kept = 0;                      // where it serves just these
  int changed = 0;                   // where it serves others; 0 where it is not known what it bears
};

struct TiePiece {
  std::string name;
  bool may_tie = true;
  std::vector<double> cost;                 // by die candidate; 0: it is there already
  std::vector<std::vector<Serves>> serves;  // by die candidate
  std::vector<std::uint32_t> own;           // by demand: the candidate that is its own outline
  std::vector<std::uint32_t> group;  // by demand: tooling group; a die never serves two. Empty: all one group
  std::vector<std::vector<std::uint32_t>>
      forced;  // demands that one die serves together, none in two of them
  // By demand: the candidate to fall back on; those of all pieces match each other and keep what is forced.
  // Empty: the own outlines.
  std::vector<std::uint32_t> safe;
  std::size_t first_owned =
      static_cast<std::size_t>(-1);  // candidates from here on are there: used untied, too
  std::vector<bool> outside;         // by candidate: chosen only where that saves some. Empty: none
  // By candidate: the dies that are there which it is, and what they spare of its cost. Empty: none are.
  std::vector<std::vector<std::size_t>> there;
  std::vector<double> spared;
  std::vector<TieStamp> stamps;  // by candidate; empty: none is stamped
};

// A seam between edges of two pieces. The same candidate number means the same place of the grade in both.
struct TieSeam {
  std::string name;
  std::size_t one = 0;  // piece numbers
  std::size_t other = 0;
  std::vector<double> one_length;  // of the seam's edge, by die candidate, mm
  std::vector<double> other_length;
  double wanted = 0.0;  // other - one in the sample
  double limit = 0.1;   // mm: |other - one - wanted| as served
};

struct TieProblem {
  std::size_t demands = 0;
  std::vector<TiePiece> pieces;
  std::vector<TieSeam> seams;
  double scale = 1.0;  // of the tolerances: pairs of a ratio up to this count as served
};

struct PieceTies {
  std::vector<std::uint32_t> die_of;  // by demand: the candidate that serves it
  std::vector<std::uint32_t> dies;    // ascending; a candidate stands once per tooling group it serves
  double cost = 0.0;
  double alone = 0.0;  // least cost of this piece if it had no seams (bound of its own cover)
};

// A seam over all demands as served.
struct TieSeamServed {
  double worst = 0.0;    // |other - one - wanted|, mm
  std::size_t at = 0;    // the demand
  std::size_t over = 0;  // demands over the limit
};

// Pieces joined by seams whose choice is not proven least.
struct OpenTies {
  std::vector<std::size_t> pieces;
  double cost = 0.0;
  double bound = 0.0;
};

// A die that is there and would serve more than the piece, or the tooling group of it, that it is used for
// (grading/dies/plan/tie_apart).
struct ApartDie {
  std::size_t there = 0;
  std::size_t piece = 0;
  std::vector<std::size_t> not_for;  // other pieces
  std::uint32_t tooling = 0;
  std::vector<std::uint32_t> not_tooling = {};  // other groups of the piece
};

struct TieSolution {
  std::vector<PieceTies> pieces;
  double cost = 0.0;
  double bound = 0.0;          // proven lower bound
  bool proven = false;         // cost == bound
  std::vector<OpenTies> open;  // what keeps it from being proven
  std::vector<ApartDie> apart;
  int restamps = 0;           // dies that are there which are to be stamped anew
  int restamps_at_least = 0;  // in any choice of this cost
  double worst_seam = 0.0;    // greatest |other - one - wanted| as served, mm
  std::vector<TieSeamServed> seams;
  std::size_t seams_over = 0;  // (seam, demand) over the limit: only where the own outlines are over it too
};

TieSolution solve_ties(const TieProblem& problem, const CoverOptions& options = {});

}  // namespace lastwright
