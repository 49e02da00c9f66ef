// A drawing as patterns use it: its paths chained into contours, each with the role of its layer.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "grading/style/layer_role.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct PatternContour {
  Contour contour;
  std::optional<LayerRole> role;
  std::vector<Vec2> polygon;  // closed contours only: flattened, for telling what lies inside
  double area = 0.0;          // of the polygon, not signed
  // On a boundary's layer, but inside another closed contour
  // of it: its role is what the drawing's "inside" says.
  bool inner = false;
  Box2 box;
};

// What fairing came to (DrawingSpec::fair).
struct FairedChords {
  std::size_t chords = 0;  // that became arcs
  std::size_t arcs = 0;
  double worst = 0.0;  // mm: the farthest that a vertex lies from its arc
};

struct PatternDrawing {
  Drawing drawing;
  DrawingSpec spec;
  std::vector<PatternContour> contours;  // circles that are lines too, as two arcs each
  std::vector<Problem> branches;         // ends where more than two paths meet
  FairedChords faired;

  [[nodiscard]] std::optional<LayerRole> role(const DrawnFrom& from) const {
    return role_of_layer(spec, from.layer);
  }
};

// A circle of the layers that are punched, not drawn: it is no contour.
bool is_punched(const PatternDrawing& drawing, const DrawnCircle& circle);

// Closed contours on a boundary's layer that lie inside
// another closed one of that layer and insertion, by index.
std::vector<std::size_t> inner_contours(const PatternDrawing& drawing);

PatternDrawing pattern_drawing(Drawing drawing, const DrawingSpec& spec);

// By the winding rule; points on the polygon may go either way.
bool inside_polygon(const std::vector<Vec2>& polygon, Vec2 p);

// "block VAMP, layer 1, line 120, 84.1 x 60.3 mm": how messages name a contour.
std::string described(const PatternContour& contour);

}  // namespace lastwright
