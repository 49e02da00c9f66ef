#include "geometry/io/drawn_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace lastwright {

bool same_unit(double a, double b) {
  return std::abs(a - b) <= 1e-9 * b;
}

std::string unit_name(double millimetres) {
  for (const auto& [name, size] :
       {std::pair{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}, {"ft", 304.8}}) {
    if (same_unit(millimetres, size)) return name;
  }
  return fmt::format("{:g} mm", millimetres);
}

std::string drawn_place(const Drawing& drawing, Vec2 p, int decimals) {
  return drawn_place(drawing.unit_in_mm, p, decimals);
}

std::string drawn_place(double unit_in_mm, Vec2 p, int decimals) {
  if (same_unit(unit_in_mm, 1.0)) return fmt::format("({:.{}f}, {:.{}f})", p.x, decimals, p.y, decimals);
  const int more = std::max(0, static_cast<int>(std::floor(std::log10(unit_in_mm))));
  const std::string name = unit_name(unit_in_mm);
  return fmt::format("({:.{}f}, {:.{}f}) {}{}", p.x / unit_in_mm, decimals + more, p.y / unit_in_mm,
                     decimals + more, name.ends_with(" mm") ? "times " : "", name);
}

}  // namespace lastwright
