// Outlines of a drawing that do not close, each with where it stops and what would join it.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

struct OpenContour {
  std::size_t contour = 0;  // of the drawing
  Vec2 from;                // its two loose ends
  Vec2 to;
  double gap = 0.0;  // the largest of what each loose end misses the nearest other one by, millimetres
  bool nearly_shut = false;  // it misses by so little beside its size that an outline was meant
};

// Open contours that could be outlines: on a boundary layer, or on one that nothing is known of.
std::vector<OpenContour> open_contours(const PatternDrawing& drawing);

// "block VAMP, layer 1, line 120, 84.1 x 60.3 mm: open
// between (0.000, 0.000) and (0.350, 0.000), gap 0.35 mm"
std::string described(const OpenContour& open, const PatternDrawing& drawing);

// The largest gap that is joined, in millimetres: beyond it something is missing, not loose.
inline constexpr double kMostJoined = 10.0;

// What would join an open outline: found by trying.
class JoiningGaps {
 public:
  // Kept by reference.
  explicit JoiningGaps(const PatternDrawing& drawing) : drawing_(drawing) {}
  // The gap of the outline rounded up to two figures, 0.36 for 0.3512, if it is not above kMostJoined and
  // with it the outline closes. Empty: no gap does.
  std::optional<double> joining(const OpenContour& open);

 private:
  const PatternDrawing& drawing_;
  std::map<double, std::set<std::size_t>> closed_;  // by gap: the paths that are parts of closed contours
};

}  // namespace lastwright
