// A measure over the sizes, one line a width, as a small SVG for a page.
#pragma once

#include <string>

#include "grading/jobs/load_style.hpp"

namespace lastwright {

// Colours come from the page: classes "line w0" ... by width, "grid", "axis". Each line ends in the label of
// its width; widths that do not differ share one line. `measure` is an index into the style's measures.
std::string girth_chart(const LoadedStyle& style, std::size_t measure);

// Round figures between two values, at most `most` steps apart: 1, 2 or 5 times a power of ten.
double chart_step(double low, double high, int most);

}  // namespace lastwright
