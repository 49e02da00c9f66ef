// A hide as its drawing shows it: the edge, holes, zones of
// quality and the direction in which it stretches least.
#pragma once

#include <string>
#include <vector>

#include "geometry/check/convex_region.hpp"
#include "geometry/io/drawing.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct HideZone {
  std::string name;
  Polygon outline;
};

struct HideDrawing {
  Polygon outline;  // counter-clockwise, like all others
  std::vector<Polygon> holes;
  std::vector<HideZone> zones;
  std::vector<std::vector<Vec2>> directions;  // parts of lines along which pieces lie; none: along x
  std::vector<std::string> notes;             // what the drawing holds beside that
  std::vector<std::string> doubts;            // what of it may have been meant, and is in no figure
  [[nodiscard]] double area() const;          // mm^2 within the edge
  double hole_area = 0.0;                     // mm^2 of holes within the edge, each spot once
  [[nodiscard]] double usable() const { return area() - hole_area; }
  // All that bounds the usable part, mm: the edge and the edges of holes. Where a hole reaches over the edge,
  // what lies within it of the one and within the hide of the other counts.
  double bounded_by = 0.0;
  std::size_t holes_within = 0;  // that do not reach over the edge; those that share area are one
};

// By layers, whatever their case: "hide" the edge, "hole" what cannot be used, "zone" and a name a zone of
// quality, "direction" an open line. A drawing with one closed line on one layer is that hide. Curves are
// followed within 0.05 mm. Refuses a drawing without an edge or with several, lines that do not close, cross
// themselves or have more than some thousand corners.
Result<HideDrawing> hide_of(const Drawing& drawing, Millimetres gap);

}  // namespace lastwright
