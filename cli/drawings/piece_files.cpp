#include "cli/drawings/piece_files.hpp"

#include <fmt/format.h>

#include "cli/files/safe_name.hpp"

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

std::vector<std::vector<std::string>> piece_file_names(const StyleGrade& grade) {
  const std::vector<std::string> names = piece_names(grade);
  std::vector<std::vector<std::string>> files(names.size());
  for (std::size_t piece = 0; piece < names.size(); ++piece) {
    for (std::size_t cell = 0; cell < grade.cells.size(); ++cell)
      files[piece].push_back(fmt::format("pieces/{0}/{0} {1}", names[piece], cell_name(grade, cell)));
  }
  return files;
}

}  // namespace lastwright
