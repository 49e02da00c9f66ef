#include "grading/draft/as_drawn.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/pieces/off_forme.hpp"
#include "grading/pieces/place_proof.hpp"

namespace lastwright {

void propose_as_drawn(const std::vector<BoundPiece>& bound, StyleSpec& style) {
  const OffForme off = off_forme(style, bound);
  if (!off.problems.empty()) return;
  std::vector<const BoundPiece*> all;
  for (const BoundPiece& piece : bound) all.push_back(&piece);
  for (const FormeSpec& forme : style.formes) {
    // Alone on a forme whose points were found on it, it lies right.
    const bool alone = std::count_if(all.begin(), all.end(), [&](const BoundPiece* one) {
                         return one->spec.forme == forme.name;
                       }) == 1;
    for (const LoosePieces& loose : loose_pieces(forme, all).loose) {
      for (const std::size_t i : loose.pieces) {
        PieceSpec& spec = style.pieces[i];
        const bool beside =
            !alone && std::any_of(off.notes.begin(), off.notes.end(), [&](const std::string& note) {
              return note.find("piece " + spec.name + ": lies off") != std::string::npos;
            });
        if (beside || spec.lies || bound[i].spec.name != spec.name) continue;
        spec.lies = LiesSpec{};
        spec.lies->as_drawn = true;
        style.proposed.push_back(
            {Sureness::kGuess,
             fmt::format("{} lies as it is drawn: nothing in the drawing proves its place", spec.name),
             fmt::format("/pieces/{}/lies", i)});
      }
    }
  }
}

}  // namespace lastwright
