// What a die maker is told beyond the outline: punches by diameter, nicks with form, depth and direction,
// where the rule may be joined and bridged. Joints and bridges are proposals; whoever makes the die decides.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "grading/dies/die.hpp"
#include "grading/dies/die_checks.hpp"

namespace lastwright {

// Punches of one diameter.
struct PunchGroup {
  int count = 0;
  double diameter = 0.0;  // mm, to a hundredth
};
// Small closed shapes of like size that are punched out whole.
struct SpecialPunchGroup {
  int count = 0;
  double length = 0.0;  // mm, to a tenth: see punch_size
  double width = 0.0;
};

enum class NickKind { kSlit, kVee, kRound, kOther };
const char* name_of(NickKind kind);
struct NickFacts {
  NickKind kind = NickKind::kSlit;
  double depth = 0.0;  // mm, from the outline to the tip, to a tenth
  double mouth = 0.0;  // mm along the outline; a slit has none
  bool outward = false;
  NickTells tells;
  Vec2 at;                                                // its mouth
  [[nodiscard]] bool like(const NickFacts& other) const;  // but for its place
};
// A nick or pricked line of the die; pricked lines are none.
std::vector<NickFacts> nicks_of(const DieShape& shape);

// A place of the outline where its two ends may meet: in the middle of a straight that is long enough, else
// on a gentle arc, as far along the rule from corners, tight bends and nicks as may be.
struct JointPlace {
  Vec2 at;
  Vec2 along;             // unit vector along the rule
  bool straight = false;  // the rule is straight there, or of a radius of 300 mm and more
  double clear = 0.0;     // mm along the rule to the nearest corner, tight bend or nick
};
std::optional<JointPlace> proposed_joint(const DieShape& shape);

// A bar between two places of rule, which stiffens the outline where it is long or holds a cut-out to it.
struct Bridge {
  Vec2 from;
  Vec2 to;
  bool holds_cut_out = false;
};
struct BridgePlan {
  std::vector<Bridge> bridges;
  std::string missing;  // those that are called for and have no place, and why; empty: none
};
// Across the piece, square to the longer side of its box, one for each `every` millimetres of that side
// beyond the first, between holes and cut-outs; and one on either side of each cut-out made of rule. A bar
// that is called for goes to the nearest place with room beside it up to half way to the next, else where
// most is, if a rule might stand so near to a hole. `box_turn`: after it the box that the order prints of the
// die lies upright, as along a fold; none: the smallest box.
BridgePlan proposed_bridges(const DieShape& shape, const DieFacts& facts, const DieLimits& limits,
                            Millimetres every, std::optional<Radians> box_turn = {});

struct DieWork {
  std::vector<PunchGroup> punches;  // by falling diameter
  std::vector<SpecialPunchGroup> special_punches;
  std::vector<NickFacts> nicks;
  std::optional<JointPlace> joint;
  std::vector<Bridge> bridges;
  std::string bridges_missing;  // see BridgePlan
  double rule_inner = 0.0;      // mm, of the cut-outs that are made of rule
  int cut_outs = 0;             // of those
};
// `every` and `box_turn` as of proposed_bridges.
DieWork die_work(const DieShape& shape, const DieFacts& facts, const DieLimits& limits, Millimetres every,
                 std::optional<Radians> box_turn = {});

// "3.5 mm"; "special 7.6 x 1.8 mm"
std::string punch_text(const PunchGroup& group);
std::string punch_text(const SpecialPunchGroup& group);
// "6 x 3.5 mm, 12 x 1.6 mm"; "8 x special 7.6 x 1.8 mm"; empty: none.
std::string punches_text(const DieWork& work);
// "3 slits 4.5 mm deep, into the piece; 2 vees 3 mm deep, 4 mm wide, out of it, tell the size"; empty: none.
std::string nicks_text(const DieWork& work);
// "2 to stiffen it, 2 to hold cut-outs"; empty: none. What is missing is not in it.
std::string bridges_text(const DieWork& work);
// "at (120.3, 45.0), on a straight, 32 mm from the nearest corner, bend or nick"
std::string joint_text(const DieWork& work);

}  // namespace lastwright
