// From graded outlines to the set of dies: the choice, and what was gained.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/die_rules.hpp"
#include "grading/dies/plan/plan_input.hpp"
#include "grading/dies/plan/planned_die.hpp"
#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

struct CurvePoint {
  double tolerance = 0.0;  // mm; kinds with a tolerance of their own are scaled alike
  int dies = 0;            // to be made, hands counted
  int bound = 0;           // no choice needs fewer
  bool proven = false;
  std::string along = {};  // tolerances of kinds and of single edges at this one: "lasting 1.2"; empty: none
};

struct PieceSummary {
  std::string name;
  int outlines_without = 0;  // one per size and width
  int outlines = 0;          // chosen
  int dies_without = 0;      // hands counted
  int dies = 0;
  int alone = 0;  // outlines it would need if no seam held it
  double worst_deviation = 0.0;
};

// A seam as the chosen dies serve it.
struct ServedSeam {
  std::string name;
  double worst = 0.0;    // beyond the sample's own difference, mm
  SizeWidth at;          // where
  std::size_t over = 0;  // sizes and widths over the limit
  double limit = 0.0;    // mm, its own or that of all
  bool tied = false;     // sizes are tied on one of its pieces: told, not judged, as `check` does
};

// What holds the count of a piece.
struct PieceHeld {
  std::string piece;
  int outlines = 0;  // chosen
  int alone = 0;     // at least, if no seam held it
  struct Seam {
    std::string name;
    std::string mate;
    int without = 0;  // outlines chosen for the piece if this seam alone were left out
  };
  std::vector<Seam> seams;            // those without which it would need fewer, the fewest first
  std::vector<std::string> together;  // where no single one is: its seams, which hold it together
};

// A tie that the rules force, and what of it is kept.
struct KeptTie {
  std::string name;
  std::vector<std::string> pieces;
  std::size_t sets = 0;  // of sizes and widths that were to share a die
  std::size_t kept = 0;
  struct Missed {
    std::string sizes_widths;
    std::string why;
  };
  std::vector<Missed> missed;
};

struct UnusedDie {
  std::size_t owned = 0;
  std::string why;
};

struct DiePlan {
  std::vector<PlannedDie> dies;  // by piece, then by place
  std::vector<PieceSummary> pieces;
  int dies_without = 0;  // one outline for every size and width, hands counted
  int dies_needed = 0;   // chosen, owned ones included
  int dies_to_make = 0;  // owned ones left out
  double cost = 0.0;     // of what was minimised: dies to make, or money
  double bound = 0.0;    // proven lower bound of it
  Minimise minimised = Minimise::kCount;
  bool proven = false;
  int restamps = 0;           // dies that are there and bear other sizes and widths than they serve
  int restamps_at_least = 0;  // in any choice of this cost
  double worst_seam = 0.0;    // as served, beyond the sample's own, mm; seams of tied sizes left out
  double seam_limit = 0.0;
  std::size_t seams_eased = 0;  // with a limit of their own above it, which `worst_seam` leaves out
  std::size_t seams_over = 0;
  std::vector<ServedSeam> seams;
  std::vector<PieceHeld> held;    // pieces that seams or their own outlines keep from fewer dies
  std::vector<KeptTie> forced;    // as the rules list them
  std::vector<UnusedDie> unused;  // owned dies the plan has no use for
  std::vector<CurvePoint> curve;
  ServeCount serve_count;
  std::vector<std::string> notes;
  std::vector<std::string> untried;  // by piece: where no die could be tried, which bound and proof leave out
};

Result<DiePlan> plan_dies(const DiePlanInput& input);

}  // namespace lastwright
