// Boxes side by side in rows, on one long roll or on as many sheets as they need.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

struct ShelfBox {
  double across = 0.0;
  double along = 0.0;
};

struct ShelfPlace {
  std::size_t sheet = 0;
  double across = 0.0;  // of the box's near corner
  double along = 0.0;
};

struct ShelfLayout {
  std::vector<ShelfPlace> places;  // one for each box, in their order
  std::vector<double> lengths;     // used of each sheet
};

struct ShelfOptions {
  double width = 0.0;   // across
  double length = 0.0;  // of a sheet; 0: a roll without end
  double gap = 0.0;     // between two boxes
};

// Longest boxes first, each in the first row that has room. Never turned. Refuses a box that is larger than
// the sheet: the Problem's value is its size, its limit the sheet's; `which` it is stands in the place.
Result<ShelfLayout> lay_in_shelves(const std::vector<ShelfBox>& boxes, const ShelfOptions& options);

}  // namespace lastwright
