// Marks of a drawing by the text that stands beside them.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// A mark is a POINT or the middle of a CIRCLE. A text names the mark that it is nearer to than any other text
// is, at most three text heights away. Refuses a name that no text has, a text without such a mark, one with
// two that are about as near, and a name that stands beside two marks.
Result<Vec2> mark_named(const Drawing& drawing, std::string_view name);

// The marks, each once.
std::vector<Vec2> drawn_marks(const Drawing& drawing);

// What finding one costs, for budgets.
std::size_t mark_cost(const Drawing& drawing);

}  // namespace lastwright
