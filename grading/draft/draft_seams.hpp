// What is sewn to what, and what is done with each edge.
#pragma once

#include <functional>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/draft/shoe_kind.hpp"

namespace lastwright {

struct DraftSeam {
  std::size_t one = 0;  // indices of the draft's pieces
  std::size_t one_edge = 0;
  std::size_t other = 0;
  std::size_t other_edge = 0;
  bool mirrored = false;
  Sureness sure = Sureness::kSure;
  std::string why;
  bool side_by_side = false;  // the two edges lie on each other, each piece on its side
};

// Edges that lie on each other from end to end, of pieces that lie side by side; the top line of a lining on
// that of its upper; the backs of an inside and an outside, as mirror images; the fold of a strip that lies
// on such a back seam, with one of the two. Of three or more backs that are all drawn as one, pairs alone;
// who is left without a mate is told.
std::vector<DraftSeam> find_seams(const std::vector<DraftPiece>& pieces,
                                  const std::vector<DraftForme>& formes, std::vector<Proposed>& proposed);

// The edges of seams become kSeam where they are nothing else yet; of two one goes under the other with a
// lap. All other allowances are those usual for their role: common practice, and told as such.
void treat_edges(std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams, const ShoeKind& kind,
                 std::vector<Proposed>& proposed);

// The seams go into the style, each with a name of its own, and are proposed.
void state_seams(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams, StyleSpec& style,
                 std::vector<Proposed>& proposed);

// Whether they have at least most of their outlines in common, on one side of them: an inside and an outside
// whose top lines differ.
bool near_copies(const DraftPiece& one, const DraftPiece& other);
// The same by another measure of what two edges have in common, mm; 0: nothing.
bool near_copies(const DraftPiece& one, const DraftPiece& other,
                 const std::function<double(const DraftEdge&, const DraftEdge&)>& common);

}  // namespace lastwright
