// What stands round a drawing on a page for people: title, scale bar, legend.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

// Sizes of letters (height of a capital) and distances on a page, millimetres.
namespace page {
inline constexpr double kTitle = 4.6;  // mm of a capital, as those that follow
inline constexpr double kHeading = 2.6;
inline constexpr double kBody = 2.2;
inline constexpr double kSmall = 1.7;
inline constexpr double kMargin = 10.0;
}  // namespace page

// A bar of `length` millimetres, a multiple of ten, its left end at `at`; 8 mm high with its figures.
void draw_scale_bar(SvgCanvas& canvas, Vec2 at, double length);
double scale_bar_length(double room);  // 100, 50 or 20: the longest that fits

// One sample of a line with its meaning.
struct LegendItem {
  LineStyle style;
  std::string meaning;
};
// A row of samples from `at` to the right, wrapped to further rows below at `width`; gives back its height.
double draw_legend(SvgCanvas& canvas, Vec2 at, double width, const std::vector<LegendItem>& items);
double legend_height(double width, const std::vector<LegendItem>& items);

}  // namespace lastwright
