// Reads DXF drawings, R12 to R2018, text or binary.
//
// Entities: LINE, ARC, CIRCLE, ELLIPSE, LWPOLYLINE and POLYLINE with bulges, SPLINE (control points, weights; fit points
// only: refused), TEXT, MTEXT, POINT, INSERT of blocks (nested, mirrored, scaled, arrays). An extrusion of (0,0,-1) is
// turned back into the plane; any other tilt is refused with its place. Everything else in the model space is listed in
// Drawing::left_out. Numbers are read without regard to the locale.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "geometry/io/drawing.hpp"
#include "geometry/result.hpp"

namespace lastwright {

enum class DrawingUnit { kMillimetre, kCentimetre, kMetre, kInch, kFoot };
double millimetres_per(DrawingUnit unit);

// Hard budgets. A file that breaks one is refused (Trouble::kBudget) with the figure and the limit.
struct DxfLimits {
  std::size_t bytes = 256u << 20;
  std::size_t entities = 2'000'000;       // after expanding INSERTs
  std::size_t vertices = 8'000'000;
  int insert_depth = 16;
};

struct DxfReadOptions {
  std::string file_name;              // for messages
  std::optional<DrawingUnit> unit;    // overrides the file; empty: $INSUNITS, and a file without it is refused
  bool unit_may_default = false;      // with neither: take millimetres instead of refusing (listing, tests)
  DxfLimits limits;
};

Result<Drawing> read_dxf(std::string_view bytes, const DxfReadOptions& options);

}  // namespace lastwright
