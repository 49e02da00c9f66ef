// From graded outlines to the set of dies: candidates, who serves whom, the choice, and what was gained.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "grading/dies/die_rules.hpp"
#include "grading/dies/order/die_making.hpp"
#include "grading/dies/plan/tie_solve.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Places of the grade where a die may be drawn: every size and width of the run and, between neighbours, half
// way. The grade is linear in the increments, so an outline half way is as exact as any other.
struct DiePlaces {
  SizeRun refined;                 // what to grade: the half-way ones included
  std::vector<SizeWidth> places;   // sizes outermost; a place between two has the label "8-8.5"
  std::vector<SizeWidth> demands;  // the run itself, sizes outermost
  std::vector<std::uint32_t> own;  // by demand: its place
  // Places that only the style's whole run holds, in an order for a part of it: a die may be drawn there as
  // at any other, or (`known_only`) one that is there was, which is all they are graded for.
  struct Elsewhere {
    std::uint32_t place = 0;
    bool between = false;
    bool known_only = false;
  };
  std::vector<Elsewhere> elsewhere;                                 // ascending
  [[nodiscard]] const Elsewhere* outside(std::size_t place) const;  // null: within the run
  [[nodiscard]] bool known_only(std::size_t place) const;
  [[nodiscard]] bool between(std::size_t place) const;
  [[nodiscard]] std::string label(std::size_t place) const;  // "8 F", "between 8-8.5 F"
  // Of the style's whole run, ascending, also in an order for a part of it.
  [[nodiscard]] std::vector<Size> whole_sizes() const;
  [[nodiscard]] std::vector<Width> whole_widths() const;
};
DiePlaces die_places(const SizeRun& run, bool with_between);
// The same with all places of the whole run that this one is a part of (null: none of them), half-way ones
// included, and with those where these dies were drawn, as far as the style states such sizes and widths.
struct OwnedDie;
DiePlaces die_places_with(const SizeRun& run, bool with_between, const std::vector<OwnedDie>& owned,
                          const SizeRun* whole = nullptr);

// Which of a handed pair of dies is there. The drawn foot is the one the style's pieces are drawn for.
enum class OwnedFoot { kBoth, kDrawn, kMirrored, kUnknown };

// What a plain drawing's own texts say of its die (grading/dies/order/die_says). Empty: nothing.
struct DieSays {
  std::string stamp;  // the words to be stamped, and what they are of
  std::string style;
  std::string piece;
  std::string sizes;
  std::string hand;      // "L", "R", "M" of the mirrored one of a pair, "L R" of one for both feet
  std::string material;  // the three as the order of then stated them
  std::string rule_thickness;
  std::string handle;
  std::optional<double> rule_outside;  // mm
  std::vector<std::string> doubts;     // facts of which the texts say several things, in words
};

// A die somebody has already, or had ordered earlier.
struct OwnedDie {
  std::string number;  // of a plain drawing that shows none the name of its file
  std::string piece;   // empty: any piece it fits
  DieShape shape;      // for the drawn foot; of an unknown foot as it was found. Edges are found by fitting
  OwnedFoot foot = OwnedFoot::kBoth;
  std::optional<double> rule_height = {};  // mm, as its order or its drawing says
  bool height_assumed = false;             // its order does not state it, but takes it by common practice
  std::string bevel = {};                  // as name_of(Bevel), as its order or drawing says; or not known
  bool bevel_assumed = false;              // its order does not state it, but takes it by common practice
  std::optional<double> making_tolerance = {};  // mm, stated by its order
  std::optional<int> layers_per_stroke = {};    // stated by its order
  std::optional<double> weight = {};            // kg of its rule, as its order says
  std::string stamp = {};                       // what its order has stamped on it; empty: not known
  std::string stamp_mirrored = {};              // on the other foot's of a pair
  std::string drawn_as = {};  // as its order says: "8 F", "between 8-8.5 F"; empty: not known
  bool of_a_pair = false;     // its order or its drawing says so: it cuts one foot and has no second edge
  bool two_edged = false;     // its order says so, or its drawing
  bool single = false;        // its order says so: one die for both feet, with one edge
  int quantity = 1;           // that its order had made of each
  std::vector<std::pair<std::string, std::string>> served = {};  // sizes and widths its order names; or none
  // Numbers of this program's form that a plain drawing shows: no other die is given one of them.
  std::vector<std::string> shown = {};
  std::string number_doubt = {};  // why a plain drawing goes by the name of its file; empty: it does not
  DieSays says = {};              // of a plain drawing
  std::vector<std::string> left_out = {};  // what its drawing holds on layers that do not cut, in words
};

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

struct PlannedDie {
  std::size_t piece = 0;
  std::size_t candidate = 0;  // place number, or places + owned number
  SizeWidth at;               // for owned dies: whose outline they are, else the size and width nearest to it
  bool between = false;
  std::optional<std::size_t> owned;        // index into the owned dies
  bool seams_estimated = false;            // owned, and no outline of the grade: its net line is not known
  std::optional<std::size_t> owned_other;  // the die of the other foot, where each was found by itself
  // Of these two: its own order called as drawn what the piece's drawing shows mirrored now.
  bool turned = false;
  bool other_turned = false;
  // Of these two: what its drawing says is stamped on it are sizes and widths of which it fits none.
  bool stamped_apart = false;
  bool other_stamped_apart = false;
  bool make_drawn = true;      // ordered for the drawn foot
  bool make_mirrored = false;  // ordered for the other foot
  int quantity = 1;            // of each die to make
  [[nodiscard]] int to_make() const { return quantity * ((make_drawn ? 1 : 0) + (make_mirrored ? 1 : 0)); }
  // Those to make and those that are there.
  [[nodiscard]] int dies() const {
    return to_make() + hands.dies() - (make_drawn ? 1 : 0) - (make_mirrored ? 1 : 0);
  }
  std::vector<std::uint32_t> serves;  // demands
  DieShape shape;                     // what is drawn: size marks only where they are true of all it serves
  Radians lay{0.0};                   // on pictures: the fold of a piece cut double lies level or upright
  double box_length = 0.0;  // mm, the longer side of the box along the fold, without one of the smallest box
  double box_width = 0.0;
  DieFacts facts;
  DieWork work;
  std::vector<DieFinding> findings;
  // What the nicks would tell of all that it serves, where it could have them and has none.
  NickTells untold;
  double worst_ratio = 0.0;      // greatest share of a tolerance that is used up
  double worst_deviation = 0.0;  // mm
  std::uint32_t worst_at = 0;    // the demand where
  HandChoice hands;
};

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

// What a die would be at one place of the grade.
struct DieOutline {
  DieShape shape;
  std::vector<double>
      edge_lengths;  // net, mm, by edge of the piece as it is drawn: a piece cut double counts its half
  std::optional<Radians> fold_lay = {};  // turn after which its fold is level or upright; none without a fold
};
// Called from several threads at once.
using OutlineAt = std::function<Result<DieOutline>(std::size_t piece, std::size_t place)>;
// Lengths of the edges of an outline, by edge.
std::vector<double> edge_lengths(const EdgedOutline& outline, std::size_t edges);

struct DiePlanInput {
  const StyleSpec* style = nullptr;
  const DieRules* rules = nullptr;
  DiePlaces places;
  OutlineAt outline;
  std::vector<std::vector<double>> base_edges;  // by piece, by edge: net lengths in the sample, mm
  std::vector<OwnedDie> owned;
  unsigned threads = 0;  // 0: one per core; the plan does not depend on it
};

// From a grade of `places.refined`. The style, the rules and the grade must outlive the input.
struct StyleGrade;
DiePlanInput plan_input(const StyleSpec& style, const DieRules& rules, const DiePlaces& places,
                        const StyleGrade& grade, std::vector<OwnedDie> owned);

Result<DiePlan> plan_dies(const DiePlanInput& input);

// " (drawn as between 6-7 E in its order: ...)" of an owned die whose own place this run does not hold, so
// that it is not known again as an outline of the grade; empty of others.
std::string drawn_elsewhere(const OwnedDie& die, const DiePlaces& places);

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
// Least two-sided deviation of the outline from its mirror
// image over rigid placements near its principal axes, mm.
double mirror_deviation(const DieShape& shape);
// The same for the mirror image in one given line through two points, without a search.
double mirror_deviation(const DieShape& shape, Vec2 from, Vec2 to);
// Of one die of this piece, both hands of a pair not counted; in hundredths, as it is charged.
double price_of(const DieFacts& facts, int bridges, const DieRules& rules, const HandChoice& hands,
                const std::string& piece = {});
// Closed lines of rule: each is closed by a joint. Special punches have none.
int joints_of(const DieFacts& facts, const DieLimits& limits);
// What of it is for special punches; 0 where the rates state no price for one.
double special_punch_price(const DieWork& work, const DieRules& rules, const HandChoice& hands);

}  // namespace lastwright
