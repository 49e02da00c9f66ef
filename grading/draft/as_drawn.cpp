#include "grading/draft/as_drawn.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "grading/pieces/place/off_forme.hpp"
#include "grading/pieces/place/place_proof.hpp"

namespace lastwright {

namespace {

void propose(std::size_t piece, std::string what, StyleSpec& style) {
  LiesSpec& lies = style.pieces[piece].lies.emplace();
  lies.as_drawn = true;
  style.proposed.push_back({Sureness::kGuess, std::move(what), fmt::format("/pieces/{}/lies", piece)});
}

}  // namespace

void propose_as_drawn(const std::vector<BoundPiece>& bound, StyleSpec& style) {
  OffForme off = off_forme(style, bound);
  if (off.off.size() < off.problems.size()) return;
  for (const std::size_t i : off.off) {
    if (bound[i].spec.name != style.pieces[i].name) continue;
    propose(i,
            fmt::format("{} lies as it is drawn: it was put on its forme because it lies on another piece, "
                        "and little or nothing of it is where the forme's points are",
                        bound[i].spec.name),
            style);
  }
  if (!off.off.empty()) off = off_forme(style, bound);
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
        propose(i, fmt::format("{} lies as it is drawn: nothing in the drawing proves its place", spec.name),
                style);
      }
    }
  }
}

}  // namespace lastwright
