// Cells of the die order's tables.
#pragma once

#include <cstdint>
#include <string>
#include <utility>

#include "cli/tables/table.hpp"

namespace lastwright {

inline TableCell text_cell(std::string value) {
  return {std::move(value), Emphasis::kNone};
}
inline TableCell whole_cell(std::int64_t value) {
  return {value, Emphasis::kNone};
}
inline TableCell number_cell(double value) {
  return {value, Emphasis::kNone};
}

}  // namespace lastwright
