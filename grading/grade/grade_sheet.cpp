#include "grading/grade/grade_sheet.hpp"

#include "grading/grade/point_moves.hpp"

namespace lastwright {

namespace {

void add_point(const StyleGrade& grade, const GradedForme& forme, const std::string& on,
               const std::string& name, Vec2 drawn, const std::vector<std::size_t>* drawn_as,
               std::vector<GradeSheetRow>& rows) {
  const std::vector<Vec2> moves = moves_in_cells(forme, drawn);
  const auto move = [&](std::size_t own) { return moves[drawn_as != nullptr ? (*drawn_as)[own] : own]; };
  const std::size_t sizes = grade.run.sizes.size();
  const std::size_t widths = grade.run.widths.size();
  for (std::size_t s = 0; s < sizes; ++s) {
    for (std::size_t w = 0; w < widths; ++w) {
      const std::size_t cell = grade.cell(s, w);
      const Vec2 u = move(cell);
      rows.push_back({on, name, grade.cells[cell], drawn + u, u,
                      s + 1 < sizes ? move(grade.cell(s + 1, w)) - u : Vec2{},
                      w + 1 < widths ? move(grade.cell(s, w + 1)) - u : Vec2{}});
    }
  }
}

}  // namespace

std::vector<GradeSheetRow> grade_sheet(const StyleGrade& grade) {
  std::vector<GradeSheetRow> rows;
  for (const GradedForme& forme : grade.formes) {
    for (const NamedPoint& point : forme.map.forme().points) {
      add_point(grade, forme, forme.map.forme().name, point.name, point.at, nullptr, rows);
    }
  }
  for (const PreparedPiece& piece : grade.pieces) {
    for (const BoundEdge& edge : piece.bound.edges) {
      add_point(grade, grade.formes[piece.forme], piece.bound.spec.name, edge.spec.from,
                start_of(edge.chain.curves().front()), &piece.drawn_as, rows);
    }
  }
  return rows;
}

}  // namespace lastwright
