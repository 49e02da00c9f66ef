// What an order takes of each material: net, scale area, second
// waste, what is to be bought, what one more pair costs.
//
// Second waste is what the edges of a hide cost. The law used: a lattice of shapes that take `s` of it each
// (hull area k, hull perimeter p), laid at random on a region of area A and perimeter L, holds on the average
// (A - L p / (2 pi) + k) / s whole ones (integral geometry; exact where the region is convex and the shape
// can roll round inside it). With h holes that are drawn, A is what is left, L has their edges in it, and the
// last k becomes k (1 - h): each hole keeps out as the outside does. A cutter, who moves the lattice and
// fills its edges, does better: an upper figure. It is used only where the user has given a hide.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/planning/order.hpp"
#include "grading/planning/roll_rows.hpp"
#include "grading/planning/scale_area.hpp"
#include "grading/planning/strip_pieces.hpp"
#include "grading/planning/works.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// One style of an order, graded.
struct OrderedStyle {
  std::string name;  // as the order calls it
  const StyleSpec* spec = nullptr;
  const StyleGrade* grade = nullptr;
};

// Like pieces of one size and width that the order takes.
struct PieceNeed {
  std::string style;
  std::string piece;
  std::string size;
  std::string width;
  std::string material;
  int pairs = 0;
  int pieces = 0;
  double net = 0.0;    // mm^2 of one
  double scale = 0.0;  // mm^2 of one
  // What one takes of the material as it is bought, before discrepancy and cuttability: with the second
  // waste, or the share of a roll or a sheet. Nothing where the user's figures for it are missing.
  std::optional<double> material_area;
  std::optional<double> per_unit;  // pieces that a hide, a metre of roll or a sheet holds
  bool ready_cut = false;          // bought so, and only counted: of no use are its areas
  std::string laid;
  std::optional<StripRows> rows;  // on a roll or a sheet
  RollPieces of_pair;
  std::vector<StripRows> other_rows;  // on a roll: for few pieces
  std::optional<RollLay> on_roll;     // what all of them take of a roll in whole rows

  // Of so many pairs. Precondition: `rows`.
  [[nodiscard]] RollLay on_roll_of(int so_many) const;
};

// A measured coefficient with its interval of 95 %.
struct PastCoefficient {
  std::size_t lots = 0;
  double mean = 0.0;
  double low = 0.0;
  double high = 0.0;
};

struct MaterialNeed {
  std::string name;
  bool stated = false;  // the works file has it; else nothing is known of how it is bought
  BoughtAs bought_as = BoughtAs::kHides;
  [[nodiscard]] bool ready_cut() const { return bought_as == BoughtAs::kPieces; }
  int pieces = 0;
  double net = 0.0;                     // mm^2, of all pieces
  double scale = 0.0;                   // mm^2
  std::optional<double> material_area;  // mm^2 with second waste
  // Hides, metres of roll, sheets to be bought; not rounded up. Metres of roll, and their area, are of whole
  // rows of each kind of piece, size and width.
  std::optional<double> units;
  std::optional<double> buy;            // mm^2 to be bought: divided by E and F where they are given
  std::optional<PastCoefficient> past;  // used area over scale area
  std::vector<std::string> notes;       // which data of the user the figures rest on, and what is not in them
  std::string area_rests_on;            // the one of them that material_area rests on
  std::string zones;                    // the one that says of zones what no figure counts with; empty: none
};

// What one more pair takes, by material, in proportion.
struct PairNeed {
  std::string style;
  std::string size;
  std::string width;
  std::string material;
  double net = 0.0;
  double scale = 0.0;
  std::optional<double> buy = {};
  std::optional<double> units = {};  // hides, metres of roll, sheets to be bought
  int pairs = 0;                     // of the order, in this size and width
  // Of all of these: on a roll in whole rows.
  std::optional<double> buy_all = {};
  std::optional<double> units_all = {};
  BoughtAs bought_as = BoughtAs::kHides;
  [[nodiscard]] bool ready_cut() const { return bought_as == BoughtAs::kPieces; }
};

// What one more pair costs by the user's prices.
struct PairCost {
  std::string style;
  std::string size;
  std::string width;
  double materials = 0.0;
  double parts = 0.0;                     // bought by the pair
  std::vector<std::string> missing = {};  // what is in neither figure, and why
};

struct Needs {
  int pairs = 0;
  std::vector<PieceNeed> pieces;
  std::vector<MaterialNeed> materials;  // by name
  std::vector<PairNeed> more;           // by style, size and width of the order
  std::vector<PairCost> costs;          // as `more`; empty where no price is given
  std::string currency;                 // of the costs
  std::size_t lattices = 0;
};

struct NeedsOptions {
  unsigned threads = 0;
  std::function<void(std::size_t)> advance;
};

// How many shapes a hide holds by the law of the edges; below 1 it says nothing.
double held_by_law(const HideSpec& hide, const ScaleArea& area);

// How many outlines are laid for the order.
std::size_t outlines_of(const Order& order, const std::vector<OrderedStyle>& styles);

// Fails where a piece cannot be cut, and where one does not lie within the hide, roll or sheet that the works
// gives for its material; the Problem names piece, size and width.
Result<Needs> needs_of(const Order& order, const std::vector<OrderedStyle>& styles, const WorksSpec& works,
                       const NeedsOptions& options);

}  // namespace lastwright
