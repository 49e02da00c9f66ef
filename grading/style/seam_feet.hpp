// What seams say of the feet that pieces are drawn for: two pieces that a seam joins are drawn for one foot,
// and for unlike ones where it is mirrored.
//
// A piece that is its own mirror image, is cut double or is turned over says nothing, nor does one of which
// each shoe takes both hands. Between two layers only so much is known: whether all of the one are drawn for
// the feet of the other or for the unlike ones, for what lies with its good side to the foot is drawn as the
// other hand, and nobody states on which side it is good.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "grading/style/style.hpp"

namespace lastwright {

// Seams that contradict what is stated or each other.
struct SeamFeetFault {
  enum class Kind {
    kStated,  // the feet of its two pieces are stated and do not go with it
    kRound,   // what is stated or sewn elsewhere does not go with it, by way of `through`
    kLoop,    // no feet go with it and `through`, whatever they are
    kBoth     // each shoe takes both hands of the one, so that the other cannot be for one foot alone
  };
  Kind kind = Kind::kStated;
  std::size_t seam = 0;  // indices into the style
  std::size_t one = 0;   // its pieces; of kBoth the one of which each shoe takes both first
  std::size_t other = 0;
  std::vector<std::size_t> through = {};  // seams, from the one piece to the other
};

// `handed`: by piece, whether it is cut left and right. In the order of the seams, those of kind kLoop last.
std::vector<SeamFeetFault> seam_feet_faults(const StyleSpec& style, const std::vector<bool>& handed);

// A piece that may be on both sides of each shoe: a pair takes as many as drawn as mirrored of it for each
// foot.
bool may_be_both(const PieceSpec& piece);

// Of pieces whose foot is not stated: which hands go together ("as drawn of outside quarter goes with
// mirrored of inside quarter, by the seam back seam"), and of which each shoe takes both.
std::vector<std::string> hands_together(const StyleSpec& style, const std::vector<std::string>& unstated);

}  // namespace lastwright
