#include "grading/redraw/twin_names.hpp"

#include <string>

#include "grading/pieces/first/first_names.hpp"

namespace lastwright {

std::optional<std::size_t> of_same_name(const std::vector<std::size_t>& contours, const OutlineSource& was,
                                        const PatternDrawing& fresh) {
  const std::string name = plain_name(was.block ? *was.block : was.layer.value_or(""));
  if (name.empty()) return std::nullopt;
  std::optional<std::size_t> found;
  for (const std::size_t contour : contours) {
    const DrawnFrom& from = fresh.contours[contour].contour.from;
    if (plain_name(from.block.empty() ? from.layer : from.block) != name) continue;
    if (found) return std::nullopt;
    found = contour;
  }
  return found;
}

}  // namespace lastwright
