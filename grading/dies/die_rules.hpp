// What the user asks of a die order: tolerances by edge kind, what may be tied, hands, rates, limits.
//
// Everything has a default; a rules file (grading/dies/die_rules_json) and the command line change them.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "grading/dies/die_checks.hpp"
#include "grading/dies/plan/tie_serve.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// Sizes (and widths) that share tooling or a last of their own: a die never serves two groups.
struct ToolingGroup {
  std::string name;
  std::string from;  // size labels, both included
  std::string to;
  std::vector<std::string> widths;  // empty: all
};

// Sizes and widths that one die of each of these pieces serves, as the works wants it: of each stretch of
// sizes in every width, of each list of widths in every size, or where both are given of each stretch in each
// list.
struct ForcedTieRule {
  std::string name;
  std::vector<std::string> pieces;
  std::vector<std::pair<std::string, std::string>> sizes;  // from, to, both included
  std::vector<std::vector<std::string>> widths;
};

struct PieceRules {
  std::optional<bool> ties;       // may be tied; as the order says unless given
  std::optional<bool> two_edged;  // made as one two-edged die where the marks allow it
  std::vector<ToolingGroup> groups;
  std::map<std::string, double> tolerance;    // mm, by edge name: over the kinds
  std::optional<std::string> reference_edge;  // placed by this edge instead of the best placement
  std::optional<double> rule_height;          // mm
  std::optional<double> weight_per_metre;     // kg, of the rule of this piece's dies
  std::optional<double> per_mm;               // money, of the rule of this piece's dies
  std::optional<double> making_tolerance;     // mm; as of all unless given
  std::optional<int> layers_per_stroke;       // as of all unless given
  std::optional<int> quantity;  // of each die of this piece that is made; as of all unless given
};

// Money in the user's own currency. All 0: no price is printed.
struct DieRates {
  std::string currency;
  double per_mm = 0.0;  // of rule, outside and inside
  double per_corner = 0.0;
  double per_punch = 0.0;
  std::optional<double> per_special_punch;  // unless given they are not in the price, which says so
  std::optional<double> per_nick;           // as that
  std::optional<double> per_bridge;         // that the order proposes; as that
  std::optional<double> per_joint;          // one of each closed line of rule; as that
  double fixed = 0.0;                       // per die
  double two_edged = 1.0;                   // a two-edged die costs this many times a plain one
  [[nodiscard]] bool given() const {
    return per_mm > 0.0 || per_corner > 0.0 || per_punch > 0.0 || per_special_punch.value_or(0.0) > 0.0 ||
           per_nick.value_or(0.0) > 0.0 || per_bridge.value_or(0.0) > 0.0 || per_joint.value_or(0.0) > 0.0 ||
           fixed > 0.0;
  }
};

// Where the bevel of a rule lies. On the waste the piece inside
// the outline is true, and what is left round a cut-out.
enum class Bevel { kWaste, kPiece, kBoth };
const char* name_of(Bevel bevel);

// What is taken where the user does not say, and said to be so.
inline constexpr double kUsualRuleHeight = 19.0;     // mm, strip knife; common practice, from memory
inline constexpr Bevel kUsualBevel = Bevel::kWaste;  // common practice

// What a works may state of how a die is made and used; the schema has the same. What is beyond is another
// unit, or no die for leather.
inline constexpr double kLeastMaking = 0.01;  // mm
inline constexpr double kMostMaking = 2.0;    // mm
inline constexpr int kMostLayers = 100;

enum class Minimise { kCount, kCost };

struct DieRules {
  std::string file;  // that they were read from; empty: none
  bool ties = true;
  double tolerance = 0.3;                     // mm, every kind without its own
  std::map<std::string, double> by_kind;      // mm: treatment names, "cut-out", "mark"
  bool between = true;                        // dies may lie half way between two sizes or widths
  std::optional<double> seam_limit;           // mm, as served; the style's own limit unless given
  std::map<std::string, double> seam_limits;  // mm, by name of the seam: over the limit of all
  std::optional<double> lap_seam_limit;  // mm, of seams in which an edge is a lap and without one by name
  bool two_edged = false;                // the works uses two-edged dies
  bool two_edged_nicks = false;          // their nicks are cut by both edges
  Minimise minimise = Minimise::kCount;
  std::optional<double> rule_height;       // mm; unless given kUsualRuleHeight
  std::optional<double> making_tolerance;  // mm either way, of a made die from its drawing; or not stated
  std::optional<int> layers_per_stroke;    // of material, that a stroke cuts through; or not stated
  std::optional<double> rule_thickness;    // mm; unless given the die maker's usual for this height
  std::optional<Bevel> bevel;              // unless given kUsualBevel
  std::string two_edged_bridges;           // where they lie, in the user's words; "": not given
  std::string handle;                      // "": not given, none as for dies in a press
  std::optional<double> weight_per_metre;  // kg of a metre of rule, the user's own figure
  Millimetres bridge_every{120.0};         // common practice, from memory
  std::map<std::string, PieceRules> pieces;
  std::vector<ForcedTieRule> forced_ties;
  std::optional<int> quantity;  // of each die that is made, as for two presses; 1 unless given
  DieRates rates;
  DieLimits limits;
  std::vector<double> curve{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.5};  // tolerances of the curve, mm

  [[nodiscard]] PieceTolerances tolerances_of(const PieceSpec& piece) const;
  // None: nobody says, and one of each is made.
  [[nodiscard]] std::optional<int> quantity_of(const std::string& piece) const;
  [[nodiscard]] std::optional<double> making_tolerance_of(const std::string& piece) const;
  // Money for a millimetre of the rule of this piece's dies: its own rate, else that of all.
  [[nodiscard]] double per_mm_of(const std::string& piece) const;
  [[nodiscard]] std::optional<int> layers_of(const std::string& piece) const;
  [[nodiscard]] const PieceRules& rules_of(const std::string& piece) const;
};

// How far outlines may deviate from their dies, by kind of edge, for the order.
std::string tolerance_words(const DieRules& rules);
// Those that kinds and single edges have of their own, this many times as wide: "lasting 1.2; vamp, top 0.6".
std::string scaled_along(const DieRules& rules, double scale);

}  // namespace lastwright
