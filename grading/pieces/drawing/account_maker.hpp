// Makes the account of a drawing from what became of its things.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/pieces/drawing/drawing_account.hpp"
#include "grading/pieces/drawing/ownership.hpp"
#include "grading/pieces/piece_features.hpp"

namespace lastwright {

// A piece that is drawn as one contour.
struct PieceThere {
  std::string name;
  bool bound = false;           // false: it has a problem, and what belongs to it is in error
  std::vector<LeftThing> left;  // of what belongs to it
};

struct AccountMade {
  DrawingAccount account;
  std::vector<Problem> problems;   // holes, cut-outs and notches that lie in no outline
  std::vector<std::string> notes;  // what only its place gave to a piece, where others lie there too
};
// `pieces` by their outline's contour.
AccountMade make_account(const PatternDrawing& drawing, const Owners& owners,
                         const std::map<std::size_t, std::vector<PieceThere>>& pieces);

}  // namespace lastwright
