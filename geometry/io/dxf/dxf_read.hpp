// Reads DXF drawings, R12 to R2018, text or binary.
//
// Entities: LINE, ARC, CIRCLE, ELLIPSE, LWPOLYLINE and POLYLINE with bulges, SPLINE (control points, weights;
// fit points only: refused), TEXT, ATTRIB, MTEXT, POINT, INSERT of blocks (nested, mirrored, scaled, arrays).
// Curves stay exact: an arc or circle that an INSERT scales unevenly becomes a rational spline. An extrusion
// of (0,0,-1) is turned back into the plane; any other tilt, and a path whose heights differ, is refused with
// its place; a common height is dropped. What is switched off or frozen with its layer is read like
// everything else, and that is said (Drawing::notes); what is marked invisible, lies in the paper space or is
// of another kind is listed in Drawing::left_out, and so is a block that nothing inserts. A polyline that was
// made smooth is read as the vertices its program wrote, not as its control frame. Numbers are read without
// regard to the locale.
//
// Damaged files are refused: a missing end (so that a cut-off download is
// never taken for a drawing), counts that do not hold, numbers that are none.
// With `repair` a missing end and wrong counts are put right and listed.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "geometry/io/drawing.hpp"
#include "geometry/result.hpp"

namespace lastwright {

enum class DrawingUnit { kMillimetre, kCentimetre, kMetre, kInch, kFoot };
double millimetres_per(DrawingUnit unit);
// Of "mm", "cm" and "in", as styles and options name the unit of drawings; none for any other text.
std::optional<DrawingUnit> unit_named(std::string_view name);

// Hard budgets. A file that breaks one is refused (Trouble::kBudget) with the figure and the limit.
struct DxfLimits {
  std::size_t bytes = 256u << 20;
  std::size_t entities = 300'000;    // after expanding INSERTs, which count themselves
  std::size_t vertices = 1'000'000;  // and control points, after expanding INSERTs
  std::size_t copies = 50'000;  // entities that INSERTs make beyond what blocks hold: small files stay cheap
  int insert_depth = 16;
  double coordinate = 1e12;  // largest, in drawing units and again in millimetres: beyond, rounding shows
};

// Why an entity that its drawing hides is left out.
inline constexpr const char* kMarkedInvisible = "marked invisible";

struct DxfReadOptions {
  std::string file_name;            // for messages
  std::optional<DrawingUnit> unit;  // overrides the file; empty: $INSUNITS, and a file without it is refused
  bool unit_may_default = false;    // with neither: take millimetres instead of refusing (listing, tests)
  bool repair = false;              // put right what can be and list it in Drawing::repairs
  DxfLimits limits;
};

// The Problem names the file, the line (binary files: the byte), the entity and the layer.
Result<Drawing> read_dxf(std::string_view bytes, const DxfReadOptions& options);

}  // namespace lastwright
