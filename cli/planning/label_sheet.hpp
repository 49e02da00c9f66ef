// Labels of pairs to print: three times eight on A4.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "grading/planning/labels.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

struct LabelSheet {
  std::vector<StyleLabel> styles;
  std::map<std::string, std::string> markings;  // by size
};

// One label a pair, in the order of the pairs' numbers, each with the number as a barcode.
Result<std::string> labels_pdf(const Tickets& tickets, const LabelSpec& spec, const LabelSheet& sheet);

}  // namespace lastwright
