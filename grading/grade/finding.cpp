#include "grading/grade/finding.hpp"

namespace lastwright {

std::string where(const SizeWidth& at) {
  return "size " + at.size.label + ", width " + at.width.label;
}

}  // namespace lastwright
