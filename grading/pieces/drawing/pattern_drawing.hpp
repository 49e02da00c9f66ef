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
  // Of its layer; a boundary too where nothing is said of the layer and the outline of a piece names it.
  std::optional<LayerRole> role;
  bool holds_outlines = false;  // its layer is a boundary, or the outline of a piece names it
  bool named_only = false;      // a boundary for that name alone: the outline of no other piece is looked for
  std::vector<Vec2> polygon;    // closed contours only: flattened, for telling what lies inside
  double area = 0.0;            // of the polygon, not signed
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
  bool laid = false;  // moved to where a style says that it lies

  [[nodiscard]] std::optional<LayerRole> role(const DrawnFrom& from) const {
    return role_of_layer(spec, from.layer);
  }
};

// A circle of the layers that are punched, not drawn: it is no contour.
bool is_punched(const PatternDrawing& drawing, const DrawnCircle& circle);

// Closed contours on a layer of outlines that lie inside
// another closed one of that layer and insertion, by index.
std::vector<std::size_t> inner_contours(const PatternDrawing& drawing);

// A layer that the outline of a piece names: it holds outlines, whatever the drawing says of it.
struct OutlineLayer {
  std::optional<std::string> block;  // that the piece names too; empty: in any, and in none
  std::string layer;
};
// Of the pieces of a style that are drawn in one drawing.
std::vector<OutlineLayer> outline_layers(const StyleSpec& style, const std::string& drawing);

PatternDrawing pattern_drawing(Drawing drawing, const DrawingSpec& spec,
                               const std::vector<OutlineLayer>& named = {});

// By the winding rule; points on the polygon may go either way.
bool inside_polygon(const std::vector<Vec2>& polygon, Vec2 p);

// As messages print a place: in the drawing's own unit, but in millimetres where it is laid elsewhere.
std::string drawn_place(const PatternDrawing& drawing, Vec2 p, int decimals = 3);

// "block VAMP, layer 1, line 120, 84.1 x 60.3 mm": how messages name a contour.
std::string described(const PatternContour& contour);

}  // namespace lastwright
