// The frame of the pages that planning writes: one look, nothing loaded from anywhere, fit to print on A4.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lastwright {

// `body`: trusted markup; title and lead are escaped.
std::string planning_page(std::string_view title, std::string_view lead, std::string_view body);

// A row of boxes with a figure each; escaped.
std::string fact_boxes(const std::vector<std::pair<std::string, std::string>>& facts);

// A paragraph with a coloured edge: what its reader must not miss. Escaped.
std::string caution_box(std::string_view text);

}  // namespace lastwright
