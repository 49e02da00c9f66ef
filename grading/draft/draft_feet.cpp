#include "grading/draft/draft_feet.hpp"

#include <fmt/format.h>

#include "grading/pieces/named_side.hpp"
#include "grading/style/seam_feet.hpp"

namespace lastwright {

namespace {

// Of the stated feet and seams; a piece that is cut alike for both feet says nothing.
std::size_t foot_faults(const StyleSpec& style) {
  std::vector<bool> handed;
  for (const PieceSpec& piece : style.pieces) handed.push_back(piece.hand == Hand::kHanded);
  return seam_feet_faults(style, handed).size();
}

}  // namespace

void propose_drawn_feet(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                        StyleSpec& style, std::vector<Proposed>& proposed) {
  std::vector<std::string> names;
  for (const PieceSpec& piece : style.pieces) names.push_back(piece.name);
  StyleSpec with = style;
  std::vector<Proposed> feet;
  std::vector<std::string> of;
  for (const DraftPiece& piece : pieces) {
    const DraftForme& forme = formes[piece.forme];
    PieceSpec& spec = with.pieces[piece.index];
    if (forme.kind != DraftKind::kUpper || spec.hand != Hand::kHanded || spec.fold ||
        !spec.drawn_foot.empty())
      continue;
    const NamedSide side = side_of_piece(spec.name, names);
    const GoodSide good = good_side(spec);
    const int turn = cross(forme.frame.along, forme.frame.up) > 0.0 ? 1 : -1;
    const std::string foot = foot_shown(side, good, turn);
    if (foot.empty()) continue;
    spec.drawn_foot = foot;
    of.push_back(spec.name);
    feet.push_back({Sureness::kLikely,
                    fmt::format("{}: drawn for the {} foot: its name says {}, and with the feather below its "
                                "toe points to the {}{}",
                                spec.name, foot, side == NamedSide::kOutside ? "outside" : "inside",
                                turn > 0 ? "right" : "left",
                                good == GoodSide::kToFoot ? "; a lining has its good side to the foot" : ""),
                    fmt::format("/pieces/{}/drawn_foot", piece.index)});
  }
  if (feet.empty()) return;
  if (foot_faults(with) > foot_faults(style)) {
    proposed.push_back({Sureness::kGuess,
                        fmt::format("which foot is drawn of {} is left open: their names and the seams say "
                                    "different things; state \"drawn_foot\"",
                                    fmt::join(of, ", ")),
                        ""});
    return;
  }
  style.pieces = std::move(with.pieces);
  proposed.insert(proposed.end(), feet.begin(), feet.end());
}

}  // namespace lastwright
