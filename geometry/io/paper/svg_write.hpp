// A Sheet as an SVG in millimetres: one group per operation, at true scale.
#pragma once

#include <string>

#include "geometry/io/die_drawing.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

struct SvgOptions {
  double margin = 5.0;  // millimetres round the drawing
};

// Everything the sheet holds, whatever its operation; the page is the drawing's box and the margin. An empty
// sheet gives an empty page of twice the margin.
std::string write_svg(const Sheet& sheet, const SvgOptions& options = {});

// The groups of a sheet, drawn onto a canvas among other things.
void draw_sheet(SvgCanvas& canvas, const Sheet& sheet);

// The box of everything the sheet draws; texts by their estimated width.
Box2 bounds(const Sheet& sheet);

}  // namespace lastwright
