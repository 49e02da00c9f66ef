#include "grading/checks/place_check.hpp"

#include <algorithm>

#include "grading/pieces/place/place_proof.hpp"

namespace lastwright {

std::vector<StyleFinding> check_places(const StyleSpec& style, const std::vector<const BoundPiece*>& pieces) {
  std::vector<StyleFinding> findings;
  for (const FormeSpec& forme : style.formes) {
    const auto here = [&](const BoundPiece* piece) { return piece->spec.forme == forme.name; };
    if (std::none_of(pieces.begin(), pieces.end(), here)) continue;
    StyleFinding finding{
        "place",  forme.name, 0.0,  {},
        "pieces", {},         true, "pieces that might be drawn elsewhere, and nothing would show it"};
    const PlaceProof proof = loose_pieces(forme, pieces);
    const std::vector<LoosePieces>& loose = proof.loose;
    std::string told;
    for (const LoosePieces& one : loose) {
      finding.worst += static_cast<double>(one.pieces.size());
      told += to_text(one, pieces) + "; ";
    }
    if (!loose.empty()) {
      finding.doubtful = true;
      finding.note = told +
                     "a piece is graded where it lies. Edges that lie on a neighbour's, a bent edge at a "
                     "constant distance "
                     "from one, and corners on points of the forme prove its place; so does \"lies\", and "
                     "\"lies\": \"as "
                     "drawn\" says that it is right";
    }
    if (!proof.complete) {
      finding.doubtful = true;
      finding.note = "too much is drawn to look at what proves the places of its pieces: none was judged";
    }
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace lastwright
