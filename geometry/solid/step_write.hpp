// Writes a body as STEP (ISO 10303-21, schema AUTOMOTIVE_DESIGN
// of AP214): one manifold solid of B-spline faces, millimetres.
//
// Own writer, because the kernel's numbers its products with a global counter, stamps the time and may not be
// called from two threads: here the same body gives the same bytes. Coordinates are rounded to 1e-7 mm, knots
// are written in full. Curves in the parameter plane are left out; readers find them by projection.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

struct StepHeader {
  std::string product;  // ASCII; anything else is written as '?'
  std::string description;
};

// Refuses a body with rational surfaces (refit them first) and one whose loops are missing.
Result<std::string> write_step(const Body& body, const StepHeader& header);

}  // namespace lastwright
