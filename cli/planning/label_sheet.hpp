// Labels of pairs to print: three times eight on A4.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/planning/load_order.hpp"
#include "cli/tables/table.hpp"
#include "grading/planning/labels.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

struct LabelSheet {
  std::string order;  // its name
  std::vector<StyleLabel> styles;
  std::map<std::pair<std::string, std::string>, std::string> markings;  // by style and size; empty: none
  std::vector<std::string> notes;                                       // what cannot be said, and why
};

// What is told, once for a style, of sizes that its marking table does not have.
std::string unmarked_words(const std::string& style, const LabelSpec& spec,
                           const std::vector<std::string>& sizes);

// What the works file makes labels say. Refuses pieces, tables and columns that there are not.
Result<LabelSheet> label_sheet_of(const Tickets& tickets, const Needs& needs, const LoadedOrder& order);
Table label_table(const LabelSheet& sheet);
std::string labels_json(const LabelSpec& spec, const LabelSheet& sheet, const FailedStyles& failed);

// One label a pair, in the order of the pairs' numbers, each with the number as a barcode, behind the order's
// name where both find room. A label of a style whose checks fail says so.
Result<std::string> labels_pdf(const Tickets& tickets, const LabelSpec& spec, const LabelSheet& sheet,
                               const FailedStyles& failed);

}  // namespace lastwright
