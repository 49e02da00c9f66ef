// What seams say of edges and pieces by their names.
#pragma once

#include <string>

#include "grading/style/style.hpp"

namespace lastwright {

// Whether this side of a seam is this edge.
bool is_edge(const SeamSide& side, const std::string& piece, const std::string& edge);
// Whether any seam of the style is of this edge.
bool seam_names_edge(const StyleSpec& style, const std::string& piece, const std::string& edge);
// Whether it is of these two pieces, either of them first.
bool seam_joins(const SeamSpec& seam, const std::string& piece, const std::string& other);

}  // namespace lastwright
