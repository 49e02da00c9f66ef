#include "grading/draft/closing_facing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string>

namespace lastwright {

namespace {

// A seam as it is seen from one of its two pieces.
struct SeenSeam {
  std::size_t own_edge = 0;
  std::size_t mate = 0;
  std::size_t mate_edge = 0;
};

std::vector<SeenSeam> seams_of(std::size_t piece, const std::vector<DraftSeam>& seams) {
  std::vector<SeenSeam> seen;
  for (const DraftSeam& seam : seams) {
    if (!seam.side_by_side) continue;
    if (seam.one == piece) seen.push_back({seam.one_edge, seam.other, seam.other_edge});
    if (seam.other == piece) seen.push_back({seam.other_edge, seam.one, seam.one_edge});
  }
  return seen;
}

bool facing_by_name(const DraftPiece& piece) {
  const std::string words = plain_words(piece.name);
  return piece.words.layer == "linings" && (has_word(words, "facing") || has_word(words, "facings")) &&
         !has_word(words, "lining") && !has_word(words, "linings");
}

}  // namespace

std::vector<Proposed> facings_that_close(const std::vector<DraftPiece>& pieces,
                                         const std::vector<DraftSeam>& seams) {
  std::vector<Proposed> told;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (!facing_by_name(pieces[i])) continue;
    std::set<std::string> closed;
    for (const SeenSeam& seam : seams_of(i, seams)) {
      if (pieces[seam.mate].words.layer != "uppers") continue;
      const std::vector<SeenSeam> beside = seams_of(seam.mate, seams);
      const bool without = std::any_of(beside.begin(), beside.end(), [&](const SeenSeam& one) {
        return one.own_edge == seam.mate_edge && pieces[one.mate].words.layer == "uppers";
      });
      if (!without) closed.insert(pieces[seam.mate].name);
    }
    if (closed.size() < 2) continue;
    std::string names;
    for (const std::string& one : closed) names += (names.empty() ? "" : ", ") + one;
    told.push_back(
        {Sureness::kGuess,
         fmt::format("{0}: layer \"linings\", by its name, as a facing mostly is; but {1} have only "
                     "it to be sewn to where it lies side by side with them, so that the uppers "
                     "close with it alone. Where it is one of them, state \"layer\": \"uppers\" and "
                     "what is done at its edges",
                     pieces[i].name, names),
         fmt::format("/pieces/{}/layer", pieces[i].index)});
  }
  return told;
}

}  // namespace lastwright
