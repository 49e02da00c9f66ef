// Names for the corners that pieces share, and for what a forme's rules stand on.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// A place that a text of the drawing names: a point or a tiny circle with the text beside it.
struct NamedMark {
  std::string name;
  Vec2 at;
  std::string drawing;
  std::string written;               // as it stands in the drawing
  std::optional<std::size_t> piece;  // that it is drawn in, of the draft's
};

// The forme gets its points: the standing ones, the ends of folds, and each
// corner that two pieces share, named after a piece and what it is there ("quarter
// foot", "vamp top"). Every corner gets a name, that of its point where it has one.
// The same pieces elsewhere on the sheet, or turned over, get the same names.
void name_points(std::vector<DraftPiece>& pieces, DraftForme& forme);

// How a place is stated in a style: the one place where that is decided. `point`: a name of the forme, or "".
Spot stated_spot(const std::string& point, Vec2 at);

// Names that edges are told apart by, from their roles and from what they are sewn to.
void name_edges(std::vector<DraftPiece>& pieces, const DraftForme& forme,
                const std::map<std::pair<std::size_t, std::size_t>, std::vector<std::string>>& mates);

}  // namespace lastwright
