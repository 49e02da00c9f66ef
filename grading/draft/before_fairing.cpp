#include "grading/draft/before_fairing.hpp"

#include "grading/pieces/piece_contour.hpp"

namespace lastwright {

BeforeFairing::BeforeFairing(const PatternDrawing& drawing) {
  if (!drawing.spec.fair) return;
  DrawingSpec spec = drawing.spec;
  spec.fair.reset();
  plain_ = pattern_drawing(drawing.drawing, spec);
}

std::vector<Curve> BeforeFairing::outline_of(const PieceSpec& piece) const {
  if (!plain_) return {};
  const Result<std::size_t> contour = find_contour(piece.source, *plain_);
  return contour ? plain_->contours[*contour].contour.raw.curves : std::vector<Curve>();
}

}  // namespace lastwright
