#include "grading/grade/finding_place.hpp"

#include <fmt/format.h>

namespace lastwright {

std::string to_text(const FindingPlace& place) {
  std::string text;
  const auto add = [&](const char* lead, const std::string& part) {
    if (!part.empty()) text += (text.empty() ? "" : ", ") + (lead + part);
  };
  add("size ", place.size);
  add("width ", place.width);
  add("of ", place.piece);
  if (place.point) add("at ", fmt::format("({:.1f}, {:.1f})", place.point->x, place.point->y));
  add("", place.more);
  return text;
}

std::string where(const SizeWidth& at) {
  return to_text(FindingPlace(at));
}

}  // namespace lastwright
