// What the label of a pair says: sizes in the systems of a table, and of what its parts are made.
//
// Directive 94/11/EC: upper and lining by surface, the outer sole by volume. A material of at least 80 % is
// named alone, else the two main ones. Surfaces are those inside the cut lines.
#pragma once

#include <string>
#include <vector>

#include "grading/measures/reference_table.hpp"
#include "grading/planning/consumption.hpp"

namespace lastwright {

struct PartContent {
  std::string part;                                    // "upper"
  std::string says;                                    // "upper of leather and textile"
  std::vector<std::pair<std::string, double>> shares;  // by kind, the largest first
  std::vector<std::string> named;                      // the kinds that the label says: one or two
};

struct StyleLabel {
  std::string style;
  std::vector<PartContent> parts;
  std::vector<std::string> missing;  // what cannot be said, and why
};

// Over all the pieces that the order takes of a style. Of pieces that the style does not have nothing is cut.
StyleLabel label_of_style(const OrderedStyle& style, const Needs& needs, const WorksSpec& works);

// "European 42, American men 9": the row of the table whose `column` holds the size, its own column left out;
// empty where the table has no such row. A table by mondopoint has its own sizes as a column "Mondopoint"
// too. Refuses a column that the table does not have.
Result<std::string> marking_of(const MarkingTable& table, const std::string& column, const std::string& size);

// The column that holds the sizes of a scale: "American men" of american-men and american-men-foot,
// "European" of paris-point, "Mondopoint" of mondopoint-5; empty where none of the table's is known to.
std::string column_of_scale(const MarkingTable& table, const std::string& scale);

}  // namespace lastwright
