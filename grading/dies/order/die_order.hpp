// The die order as lines for people: numbers, names, figures and money, ready to be laid out.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/plan/die_plan.hpp"
#include "grading/grade/finding.hpp"

namespace lastwright {

// A die that is there already, as its own order says, and what this order makes of it.
struct DieThere {
  std::string number;
  std::string hand;                             // as DieOrderLine::hand_drawn
  std::optional<double> rule_height = {};       // mm; none: not known
  bool height_assumed = false;                  // taken in its order by common practice
  std::string bevel = {};                       // as name_of(Bevel); empty: not known
  bool bevel_assumed = false;                   // taken in its order by common practice
  std::optional<double> making_tolerance = {};  // mm, stated by its order; none: not known
  std::optional<int> layers_per_stroke = {};
  std::string bears;   // what is stamped on it; empty: not known
  std::string stamp;   // what is to be
  bool keeps = false;  // it bears sizes and widths outside this order besides those that it serves here
  bool others_unknown = false;  // an order for a part, and what it bears outside that part is not known
  int quantity = 1;             // how many are known of
  std::vector<std::string> contradicts = {};  // what its own drawing says that does not hold, in words
  std::vector<std::string> left_out = {};     // see OwnedDie
  [[nodiscard]] bool restamp() const { return !bears.empty() && bears != stamp; }
};

struct DieOrderLine {
  std::string number;   // "D0001"; an owned die keeps its own, and one made for the other foot has the same
  std::string owned;    // number of the owned die, or of both; empty: none
  std::size_t die = 0;  // index into DiePlan::dies
  std::string piece;
  std::string drawn_as;                                           // "8 F", "between 8-8.5 F"
  std::string serves;                                             // "E: 8 to 9; F: 8, 9"
  std::vector<std::pair<std::string, std::string>> sizes_widths;  // every (size, width) served
  int per_pair = 0;                                               // pieces cut for one pair of boots
  // Dies of this line, `quantity` of each: for a pair twice as many, 0 when owned.
  int to_make = 0;
  int quantity = 1;
  bool quantity_stated = false;
  std::string material;
  // mm. Of a die to make: as the rules state, else as the other foot's that is there, else as usual. Of a
  // line that is all there, as its order says; none: not known, or two dies of the line differ in it.
  std::optional<double> rule_height;
  bool heights_differ = false;  // of the two dies of a line that are there, or only one is known
  bool height_stated = false;   // by the rules, or by the order of the die that is there
  std::vector<DieThere> there;  // dies of this line that are there already
  std::string renumbered;       // why the one that is there does not keep its number; empty: it does
  double height_asked = 0.0;    // mm, what the rules ask of a new die of this piece
  // As the rules state of dies of this piece; none: not stated.
  std::optional<double> making_tolerance;  // mm
  std::optional<int> layers_per_stroke;
  bool two_edged = false;
  int bridges = 0;             // proposed, of one die
  int joints = 0;              // of one die
  int special_punches = 0;     // of one die
  double price = 0.0;          // of one die, in whole hundredths
  double total = 0.0;          // of the line
  double special_price = 0.0;  // what of `price` is for special punches
  // "L", "R", "L R" where one die cuts both feet; "" and "M" where the style does not say what it shows, or
  // each shoe takes both.
  std::string hand_drawn;
  std::string drawn_foot = {};   // of the piece (grading/style/drawn_feet)
  std::string hand_mirrored;     // of the other die of a pair
  std::string stamp_drawn;       // what is stamped on it: style, piece, size and width, hand, number
  std::string stamp_mirrored;    // empty where one die cuts both feet
  std::optional<double> weight;  // kg of one die's rule
};

// What the user says of the order as a whole. Nothing of it is made up: no clock, no counter.
struct DieOrderHead {
  std::string number;
  std::string date;
  std::string contact;
  std::string delivery;  // wanted when
};

// What holds for every die to be made, unless its line says otherwise.
struct DieMaking {
  double rule_height = kUsualRuleHeight;  // mm
  bool height_stated = false;
  std::string bevel = name_of(kUsualBevel);
  bool bevel_stated = false;
  std::optional<double> rule_thickness;         // mm; none: not stated, the die maker's usual
  std::string handle;                           // empty: not stated, none
  std::string two_edged_bridges;                // empty: not stated, to be agreed
  double bridge_every = 0.0;                    // mm of the box's longer side
  std::optional<int> quantity = {};             // of each die; none: not stated, one
  std::optional<double> making_tolerance = {};  // mm either way; none: not stated
  std::optional<int> layers_per_stroke = {};    // none: not stated
};

// Sums of exact values: whoever rounds them does so once.
struct DieOrderTotals {
  int dies = 0;             // to make
  int owned = 0;            // lines served by dies that are there, all or the one foot
  double rule_outer = 0.0;  // mm, of the dies to make
  double rule_inner = 0.0;
  int corners = 0;
  int punches = 0;
  int special_punches = 0;
  int nicks = 0;
  int bridges = 0;
  int joints = 0;
  std::optional<double> weight;  // kg
  double price = 0.0;
  double special_price = 0.0;  // what of it is for special punches
};

struct DieOrder {
  std::string style;
  std::string works;
  DieOrderHead head;
  DieMaking making;
  std::vector<std::pair<std::string, std::string>> made_from;  // files: name, SHA-256
  std::string drawn_foot;  // as the style says of all: "left", "right" or nothing; each line has its own
  std::string currency;    // empty: no rates were given
  bool priced = false;
  bool special_priced = false;  // the rates state what a special punch costs
  std::vector<DieOrderLine> lines;
  std::vector<StyleFinding>
      failed;  // checks of the style and of the seams as served: no die should be made before
  std::vector<std::pair<std::string, std::string>>
      unused;                      // owned dies that no size is cut with: number, why
  std::vector<std::string> notes;  // of this order, beside those of the plan
  std::vector<std::string> unmet;  // of the notes, what is asked for and neither there nor ordered
  DieOrderTotals totals;
};

DieOrder make_die_order(const DiePlan& plan, const StyleSpec& style, const DieRules& rules,
                        const DiePlaces& places, const std::vector<OwnedDie>& owned);

// "8 F" of a die for one size and width, else as `serves`.
std::string stamped_sizes(const DieOrderLine& line);

// What failed of the style's checks, then the seams that the chosen dies leave over their limit.
std::vector<StyleFinding> failed_checks(const std::vector<StyleFinding>& style, const DiePlan& plan);

// Served sizes as people write them (grading/dies/order/die_stamps): "E F: 8 to 9; G: 8".
std::string served_text(const std::vector<std::uint32_t>& serves, const DiePlaces& places);

}  // namespace lastwright
