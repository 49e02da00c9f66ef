// A die that is there, and what is known of it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "grading/dies/die.hpp"

namespace lastwright {

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

}  // namespace lastwright
