// Which pieces, sizes and widths of a graded style are written.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "grading/grade/grade.hpp"

namespace lastwright {

struct SelectionOptions {
  std::vector<std::string> sizes;  // labels; empty: all of the run
  std::vector<std::string> widths;
  std::vector<std::string> pieces;
};

struct GradeSelection {
  std::vector<std::size_t> pieces;  // indices into StyleGrade::pieces
  std::vector<std::size_t> sizes;   // indices into StyleGrade::run.sizes
  std::vector<std::size_t> widths;
  std::vector<std::size_t> cells;  // indices into StyleGrade::cells, ascending: those that are made

  [[nodiscard]] bool holds(const StyleGrade& grade, std::size_t size, std::size_t width) const;
  // Those of one width of the run, or of one size.
  [[nodiscard]] std::vector<std::size_t> sizes_in(const StyleGrade& grade, std::size_t width) const;
  [[nodiscard]] std::vector<std::size_t> widths_of(const StyleGrade& grade, std::size_t size) const;
};

// Refuses names that the style does not have, naming what it has.
Result<GradeSelection> select(const StyleGrade& grade, const SelectionOptions& options);

}  // namespace lastwright
