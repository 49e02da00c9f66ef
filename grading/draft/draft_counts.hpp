// How many of each piece of a draft are cut for one pair.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_seams.hpp"

namespace lastwright {

struct DraftCount {
  int per_pair = 2;
  std::string why;    // of what is not 2: "as one shape lines the inside and the outside"
  std::string asked;  // of what is 2, though something speaks for four: both, as a question
};

// By piece. Two, one for each shoe, of all but these, of which there are four:
// - a lining that is drawn once under an inside and an outside;
// - a piece that is sewn to both of an inside and an outside, as a counter is;
// - a piece without a copy for the other side, the only one that is sewn to an edge which a pair has four
//   times: to one of a piece that is cut double, or to one of a piece of which there are four. Not where
//   another piece says otherwise, because it takes its share of such an edge, or is sewn to one that does:
//   then it is asked.
std::vector<DraftCount> draft_counts(const std::vector<DraftPiece>& pieces,
                                     const std::vector<DraftForme>& formes,
                                     const std::vector<DraftSeam>& seams);

}  // namespace lastwright
