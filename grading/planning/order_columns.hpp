// Which columns of a table an order is read from.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/text_table.hpp"

namespace lastwright {

// A column that holds the pairs of one size and width.
struct RunColumn {
  std::size_t column;
  std::string size;
  std::string width;
};

struct OrderColumns {
  std::map<std::string, std::size_t> named;
  std::vector<RunColumn> run;
  std::vector<std::size_t> unknown;
  std::map<std::size_t, std::string> meant;  // of these, the column that each may be
  [[nodiscard]] bool has(const char* name) const { return named.count(name) > 0; }
};

// Refuses a header that names no order's columns, with what its words may be meant for, and one that nearly
// names them.
Result<OrderColumns> order_columns(const TextTable& table);

}  // namespace lastwright
