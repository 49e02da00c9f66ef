// Code 128 as bars (ISO/IEC 15417), encoded by the library zint.
#pragma once

#include <string>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct BarcodePlace {
  Vec2 at;               // its top left, quiet zone not counted: leave ten modules white on both sides
  double module = 0.35;  // mm, the narrowest bar
  double height = 10.0;  // mm
};

// The bars, millimetres, y down. Refuses an empty text and what is not plain ASCII.
Result<std::vector<Box2>> code_128(const std::string& text, const BarcodePlace& place);

}  // namespace lastwright
