#include "cli/piece_files.hpp"

#include "cli/safe_name.hpp"

namespace lastwright {

std::vector<std::string> piece_names(const StyleGrade& grade) {
  SafeNames names;
  std::vector<std::string> safe;
  for (const PreparedPiece& piece : grade.pieces) safe.push_back(names.claim(piece.bound.spec.name));
  return safe;
}

std::string cell_name(const StyleGrade& grade, std::size_t cell) {
  return safe_name(grade.cells[cell].size.label) + " " + safe_name(grade.cells[cell].width.label);
}

}  // namespace lastwright
