// What a drawing file holds once read: paths, circles, points and texts with their layers, all in
// millimetres, and the list of everything that was not used.
#pragma once

#include <string>
#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/curve/outline.hpp"

namespace lastwright {

// Where an entity came from: carried along so that every later message can name it.
struct DrawnFrom {
  std::string entity;  // "LWPOLYLINE"
  std::string layer;
  std::string block;  // the outermost block whose INSERT brought it; "" for the model space itself
  std::size_t insert =
      0;               // which insertion of a block in the model space (1, 2, ...); 0: the model space itself
  std::string handle;  // as in the file, may be empty
  long line = 0;       // of the entity's first tag; for binary files the byte offset
};

// One entity that draws a path: a LINE gives one curve, a polyline as many as it has segments. Each curve
// starts where the one before ends, to the bit. Arcs turn at most half round: longer ones come as two.
struct DrawnPath {
  std::vector<Curve> curves;
  bool closed =
      false;  // the entity says so (closing segment included in curves), or its one curve meets itself
  std::size_t vertices = 0;  // of a polyline, as in the file
  std::size_t duplicates =
      0;  // of these: on the vertex before (tolerance::kSamePoint), so they start no curve
  DrawnFrom from;
};

struct DrawnCircle {
  Vec2 centre;
  double radius = 0.0;
  DrawnFrom from;
};

struct DrawnPoint {
  Vec2 at;
  DrawnFrom from;
};

struct DrawnText {
  Vec2 at;
  double height = 0.0;
  Radians angle;
  std::string text;  // UTF-8, formatting codes taken off
  DrawnFrom from;
};

// Something that was read past. Nothing is dropped without standing here.
struct LeftOut {
  DrawnFrom from;
  std::string reason;
};

struct Drawing {
  std::string file;
  std::string version;           // "AC1015", "" when the file does not say
  double unit_in_mm = 1.0;       // what one drawing unit was taken as
  bool unit_from_file = false;   // false: from the caller
  double file_unit_in_mm = 0.0;  // what the file says, whoever was believed; 0: it does not say
  std::vector<DrawnPath> paths;
  std::vector<DrawnCircle> circles;
  std::vector<DrawnPoint> points;
  std::vector<DrawnText> texts;
  std::vector<LeftOut> left_out;
  // What was read otherwise than the drawing shows it, one sentence a kind: layers that are off or frozen,
  // widths and thicknesses, blocks that are inserted larger or smaller.
  std::vector<std::string> notes;
  std::vector<std::string> repairs;  // only when repair was asked for
  // Entities met in the model space, INSERTs expanded, and
  // blocks that are never inserted: always used + left out.
  std::size_t entities_in = 0;
  std::size_t copies = 0;  // of them, what INSERTs made beyond one of each entity of the blocks
  [[nodiscard]] std::size_t used() const {
    return paths.size() + circles.size() + points.size() + texts.size();
  }
};

// A contour put together from one or more paths of one block and one layer.
struct Contour {
  RawOutline raw;  // in walking order, gaps up to the chain gap not yet closed
  bool closed = false;
  double widest_gap = 0.0;
  DrawnFrom from;                  // of its first path
  std::vector<std::size_t> paths;  // of the drawing, in walking order
};

// Joins loose ends up to `gap` within each (block, layer). Ends that could join more than one other end make
// a branch: reported in `problems` with its place, and its paths are given back as separate open contours.
struct ChainedContours {
  std::vector<Contour> contours;  // in the order of their first entity
  std::vector<Problem> problems;
};
ChainedContours chain_contours(const Drawing& drawing, Millimetres gap);

}  // namespace lastwright
