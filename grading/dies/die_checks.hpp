// What is hard to make as a die: measured on every die, judged against limits the user can set.
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
  DieLimit special_punch{40.0, Provenance::kCommonPractice,
                         "a closed shape of less rule, or narrower than the slot limit, is made as a special "
                         "punch, not bent from rule; no published figure found"};
  // degrees
  DieLimit inside_corner{60.0, Provenance::kCommonPractice,
                         "opening between the two rules of a corner that points into the piece, 360 less the "
                         "angle inside it; no "
                         "published figure found"};
  DieLimit outside_corner{25.0, Provenance::kCommonPractice,
                          "angle inside the piece at a point; no published figure found"};
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

// Whether a length is below its limit: by more than an arc may lie from the curve that it stands for
// (tolerance::kArcFit), so that a slot drawn as wide as the limit is not.
bool below_limit_of(double length, double limit);

// Whether a closed shape is punched out by one special punch, not cut by rule that is bent round it.
bool is_special_punch(const CutOutFacts& cut_out, const DieLimits& limits);

// Radii, straights and necks of what is bent from rule: a
// special punch has none, and the width of a slot is no neck.
DieFacts without_special_punches(DieFacts facts, const DieLimits& limits);

// Angles are those inside the piece: above 180 degrees at a corner that points
// into it, whose limit is then 360 less `inside_corner`, at most. Every value
// on the wrong side of its limit; tangent breaks and corners one each.
std::vector<DieFinding> check_die(const DieFacts& facts, const DieLimits& limits);

}  // namespace lastwright
