// Where the worst figure of a finding stands: in words, and read back from them, for who wants it in parts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

// "size 13, width H, of vamp, at (12.0, -3.5)": a point of the forme's frame, told to a tenth of a
// millimetre.
std::string where_on(const SizeWidth& at, const std::string& piece, Vec2 point);

// What does not apply is empty.
struct FindingPlace {
  std::string size;
  std::string width;
  std::string piece;
  std::optional<Vec2> point;
};

// Reads what where(SizeWidth) and where_on made, and a size alone, whatever stands behind it. Only sizes and
// widths of the run and these pieces are taken for such.
FindingPlace place_of(const std::string& where, const SizeRun& run, const std::vector<std::string>& pieces);

}  // namespace lastwright
