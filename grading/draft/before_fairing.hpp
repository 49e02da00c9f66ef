// Outlines as they were drawn, before short chords were taken as curves.
#pragma once

#include <optional>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

class BeforeFairing {
 public:
  explicit BeforeFairing(const PatternDrawing& drawing);
  // The piece's outline, closed; empty where its drawing was not faired.
  [[nodiscard]] std::vector<Curve> outline_of(const PieceSpec& piece) const;

 private:
  std::optional<PatternDrawing> plain_;
};

}  // namespace lastwright
