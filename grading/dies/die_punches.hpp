// The punches of a whole order: what is needed of each diameter, and the small shapes that need another punch
// in each size because they grow with their piece.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Punches of one piece that are alike, on dies to make that have as many of them.
struct PunchUse {
  std::string piece;
  std::string punch;  // "2.5 mm", "special 10.0 x 2.9 mm"
  bool special = false;
  int on_a_die = 0;
  int dies = 0;                      // to make
  std::vector<std::string> numbers;  // of the lines
};
// By piece in the order of the lines, plain ones first, from the largest down.
std::vector<PunchUse> punches_used(const DieOrder& order, const DiePlan& plan);

// A closed shape drawn in a piece that is punched out whole and is not of one size on all new dies.
struct GrowingPunch {
  std::string piece;
  int shapes = 0;  // of the piece that grow alike
  // The least and the greatest of all its punches, mm to a tenth, and where each is drawn so: "5 D". That of
  // the lengths need not be that of the widths.
  struct Range {
    double least = 0.0;
    double greatest = 0.0;
    std::string least_at;
    std::string greatest_at;
  };
  Range length;
  Range width;
  int punches = 0;  // different ones, to a tenth of a millimetre
};
std::vector<GrowingPunch> growing_punches(const DieOrder& order, const DiePlan& plan,
                                          const DieLimits& limits);

// A note for each piece whose special punches grow, but for what the style holds over ranges of sizes.
std::vector<std::string> punch_notes(const DieOrder& order, const DiePlan& plan, const StyleSpec& style,
                                     const DieLimits& limits);

// A note of the bridges that are called for and have no place, by piece.
std::vector<std::string> bridge_notes(const DieOrder& order, const DiePlan& plan);

}  // namespace lastwright
