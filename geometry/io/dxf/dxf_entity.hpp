// Entities of a DXF file as decoded: plane shapes in the drawing units and the frame of their block, object
// coordinate systems already turned back.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/drawing.hpp"

namespace lastwright {

// LINE, ARC, LWPOLYLINE, POLYLINE: bulges of any size, vertices as in the file.
struct DxfPolyline {
  std::vector<ArcVertex> vertices;  // open: the last bulge means nothing
  bool closed = false;
};

struct DxfCircle {
  Vec2 centre;
  double radius = 0.0;
};

struct DxfPoint {
  Vec2 at;
};

struct DxfText {
  Vec2 at;
  Vec2 along{1.0, 0.0};  // unit vector of the base line
  bool mirrored = false;
  double height = 0.0;
  std::string text;
};

struct DxfInsert {
  std::string block;
  Vec2 at;  // in its object coordinate system
  double scale_x = 1.0;
  double scale_y = 1.0;
  double degrees = 0.0;
  double facing = 1.0;  // -1: the object coordinate system looks down, its x axis points left
  std::int64_t columns = 1;
  std::int64_t rows = 1;
  double column_step = 0.0;
  double row_step = 0.0;
};

// Read past; the reason goes into Drawing::left_out.
struct DxfUnread {
  std::string reason;
};

struct DxfEntity {
  DrawnFrom from;           // block and insert are filled in when blocks are expanded
  const char* unread = "";  // what of it does not come into the shape: "width", "thickness"; "" for nothing
  std::variant<DxfPolyline, Spline, DxfCircle, DxfPoint, DxfText, DxfInsert, DxfUnread> shape;
};

}  // namespace lastwright
