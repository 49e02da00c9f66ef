// What two versions of a style differ in, in words, as JSON and as a page.
#pragma once

#include <string>

#include "grading/redraw/style_compare.hpp"

namespace lastwright {

struct CompareNames {
  std::string was;  // as the user named the files
  std::string now;
};

std::string compare_text(const StyleCompare& compare, const CompareNames& names);
std::string compare_json(const StyleCompare& compare, const CompareNames& names);
// One page without anything loaded from elsewhere: the same words, the figures of each piece in every size
// and width, and the base outlines over each other.
std::string compare_page(const StyleCompare& compare, const CompareNames& names);

}  // namespace lastwright
