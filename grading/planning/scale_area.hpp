// The scale area of a piece: the material that one of many like pieces takes, laid as closely as they lie
// all over an endless sheet.
//
// Pieces keep their grain: each lies as its mates do or turned half round, and none is turned over. Where
// half turns are allowed the lattice of pieces that all lie alike is looked for as well, and the better of
// both is taken: never more than where half turns are not allowed. The two hands of a piece are each laid by
// themselves; a lattice of both is taken where it is closer. What the edges of a hide or a sheet cost beyond
// that is not in it.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geometry/lattice/densest_lattice.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// How pieces of a material may be laid.
struct LayRules {
  double gap = 0.0;         // mm between two cuts; 0: one cut serves both
  bool half_turned = true;  // false: a nap or a print that must run one way
  bool mixed_hands = true;  // left and right pieces in one lattice where that is closer
  bool operator==(const LayRules&) const = default;
};

// One piece in one size and width.
struct ScaleArea {
  std::size_t piece = 0;
  std::size_t cell = 0;  // of the grade
  double net = 0.0;      // mm^2 inside the cut line; what is cut out of it is waste
  double turn =
      0.0;  // radians by which the drawing is turned to lay the piece's grain along x; 0: none drawn
  double box_length = 0.0;  // of the turned outline
  double box_width = 0.0;
  double hull_area = 0.0;  // of the grown outline
  double hull_perimeter = 0.0;
  FoundLattice lattice;  // of the outline turned and grown by half of the gap
  // Where half turns are allowed, the one of pieces that all lie alike. In `lattice` where it is the better.
  std::optional<FoundLattice> alike = {};
  [[nodiscard]] double scale() const { return lattice.per_shape; }
  // First waste as a share of the material used, and as a share of the piece: the two are easily confused.
  [[nodiscard]] double waste_of_scale() const { return 1.0 - net / scale(); }
  [[nodiscard]] double waste_on_net() const { return scale() / net - 1.0; }
  // No lattice of its kind takes less than this; without bounds no more than the outline's own area.
  [[nodiscard]] double least() const { return lattice.least; }
};

// A cut piece ready to be laid: its grain along x, grown by half of the gap.
struct LaidOutline {
  ClosedArcPath outline;  // turned, not grown
  double turn = 0.0;
  LatticeShape shape;
};
Result<LaidOutline> laid_outline(const GradedPiece& piece, double gap);

// The ways in which a piece may be laid by these rules: each a search of its own.
// Where none may be turned half round, a nap runs the same way on both hands.
std::vector<LatticeKind> lattice_kinds_of(const PieceSpec& piece, const LayRules& rules);
std::string laid_words(LatticeKind kind, const LayRules& rules);  // for people

struct ScaleAreaOptions {
  LayRules rules;                             // of every material that has none of its own
  std::map<std::string, LayRules> materials;  // by name as in the style
  bool bounds = true;                         // also what no lattice can go below
  unsigned threads = 0;                       // 0: one per core; the areas do not depend on it
  std::function<void(std::size_t)> advance;   // called with a count of outlines done, from any thread
};

// Which areas are asked for: indices into the grade's pieces and into the cells of its run.
struct AreaSelection {
  std::vector<std::size_t> pieces;
  std::vector<std::size_t> cells;  // rising
};

// How many lattices are looked for: one for each outline that is made. Sizes tied on a piece share one.
std::size_t outlines_of(const StyleGrade& grade, const AreaSelection& selection);

// By the pieces and the cells asked for, in that order.
using ScaleAreas = std::vector<std::vector<ScaleArea>>;

// Fails where a piece cannot be cut, or an outline cannot be
// grown by its gap; the Problem names piece, size and width.
Result<ScaleAreas> scale_areas(const StyleGrade& grade, const AreaSelection& selection,
                               const ScaleAreaOptions& options);

}  // namespace lastwright
