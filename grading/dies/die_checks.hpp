// What a die maker may stumble over: measured on every die, judged against limits the user can set.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/die.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

// A limit with its standing, printed beside every finding.
struct DieLimit {
  double value = 0.0;
  Provenance provenance = Provenance::kCommonPractice;
  std::string source;
};

// Defaults: common practice, in the words of whoever states it.
struct DieLimits {
  // millimetres
  DieLimit rule_gap{2.4, Provenance::kCommonPractice, "3/32 in between two rules, for the ejection rubber"};
  DieLimit smallest_punch{2.4, Provenance::kCommonPractice,
                          "3/32 in for a punch with a spring ejector; side-out punches go down to 1/32 in"};
  DieLimit slot{2.4, Provenance::kCommonPractice, "3/32 in for a slot bent from rule"};
  DieLimit bend_radius{1.5, Provenance::kCommonPractice,
                       "about twice the thickness of 2-point rule (0.71 mm): no published figure found"};
  DieLimit shortest_straight{1.0, Provenance::kCommonPractice, "no published figure found"};
  DieLimit hole_to_edge{2.4, Provenance::kCommonPractice, "taken equal to the gap between rules"};
  // degrees
  DieLimit inside_corner{
      60.0, Provenance::kCommonPractice,
      "opening between the two rules of a corner that points into the material; no published figure found"};
  DieLimit outside_corner{25.0, Provenance::kCommonPractice,
                          "angle of the material at a point; no published figure found"};
  DieLimit tangent_break{2.0, Provenance::kCommonPractice,
                         "kink in what should be smooth; digitised curves show 1 to 3 degrees"};
};

struct DieFinding {
  std::string check;  // "bend radius inside"
  double value = 0.0;
  DieLimit limit;
  std::string unit;  // "mm" or "deg"
  Vec2 at;
};

// Every value on the wrong side of its limit; tangent breaks and corners one each.
std::vector<DieFinding> check_die(const DieFacts& facts, const DieLimits& limits);

}  // namespace lastwright
