#include "grading/grade/grade_sheet.hpp"

#include <algorithm>

#include "grading/grade/point_moves.hpp"

namespace lastwright {

namespace {

void add_point(const StyleGrade& grade, const GradedForme& forme, const std::string& on,
               const std::string& name, Vec2 drawn, const std::vector<std::size_t>* drawn_as,
               std::vector<GradeSheetRow>& rows) {
  const std::vector<Vec2> moves = moves_in_cells(forme, drawn);
  const auto move = [&](std::size_t own) { return moves[drawn_as != nullptr ? (*drawn_as)[own] : own]; };
  // What follows a place among those that are made.
  const auto after = [](const std::vector<std::size_t>& places, std::size_t place) {
    return std::upper_bound(places.begin(), places.end(), place);
  };
  for (std::size_t s = 0; s < grade.run.sizes.size(); ++s) {
    const std::vector<std::size_t> widths = grade.run.made_widths(s);
    for (const std::size_t w : widths) {
      const std::size_t cell = grade.cell(s, w);
      const Vec2 u = move(cell);
      const std::vector<std::size_t> sizes = grade.run.made_sizes(w);
      const auto larger = after(sizes, s);
      const auto wider = after(widths, w);
      rows.push_back({on, name, grade.cells[cell], drawn + u, u,
                      larger != sizes.end() ? move(grade.cell(*larger, w)) - u : Vec2{},
                      wider != widths.end() ? move(grade.cell(s, *wider)) - u : Vec2{}});
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
