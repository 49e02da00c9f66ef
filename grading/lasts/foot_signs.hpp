// Which foot a last is made for, told by the middle line of its bottom's outline. The lasts of a pair are
// mirror images, so nothing else tells them apart.
//
// The middle line does not depend on how wide the last is: a toe that is widened to both sides alike changes
// none of its signs, where the farthest points of either side wander with every blunt tread or square toe.
#pragma once

#include <string>
#include <vector>

#include "geometry/solid/body.hpp"
#include "grading/lasts/last_foot.hpp"

namespace lastwright {

// Where the featherline of a standing last lies at one station, in shares of the stick length.
struct OutlineStation {
  double x = 0.0;
  double left = 0.0;  // larger y
  double right = 0.0;
};

// How far each sign speaks for a left last (above 0) or a right one (below): as many times as lasts differ in
// it without meaning a foot, within 3 to either side; 0 where the outline does not show it. The figures
// behind them are common practice, not from a published table.
struct FootSigns {
  double waist = 0.0;  // the waist is hollower on the inside: its middle lies outside of the way from the
                       // middle of the seat to that of the joints
  double tread = 0.0;  // the inside joint lies farther forward than the outside one
  double toe = 0.0;    // the toe swings to the inside of that way, run on

  [[nodiscard]] LastFoot likelier() const;
  // The three together are not two standard deviations from nothing, or one of them contradicts.
  [[nodiscard]] bool in_doubt() const;
};
// The mirrored outline gives the same signs with the other sign, to the last digit.
FootSigns foot_signs(const std::vector<OutlineStation>& outline);

// Of a standing body of this length whose roles are found; without a featherline it is empty.
std::vector<OutlineStation> bottom_outline(const Body& body, double length);

// "the hollow of its waist speaks for a left last, its joints for neither, the swing of its toe for a right
// last"
std::string told_of(const FootSigns& signs);

}  // namespace lastwright
