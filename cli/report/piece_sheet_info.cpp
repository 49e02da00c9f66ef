#include "cli/report/piece_sheet_info.hpp"

#include <fmt/format.h>

#include "grading/checks/missing_allowance.hpp"

namespace lastwright {

namespace {

const char* said(Hand hand) {
  switch (hand) {
    case Hand::kHanded:
      return "left and right, mirrored";
    case Hand::kSymmetric:
      return "the same left and right";
    case Hand::kReversible:
      return "reversible material, turned over";
  }
  return "";
}

}  // namespace

PieceSheetInfo piece_sheet_info(const StyleGrade& grade, std::size_t piece, std::size_t cell,
                                const std::string& style) {
  const PieceSpec& spec = grade.pieces[piece].bound.spec;
  PieceSheetInfo info;
  info.style = style;
  info.material = spec.material;
  info.hand = said(spec.hand);
  info.per_pair = spec.per_pair;
  const std::vector<Millimetres> allowances = grade.allowances(piece, cell);
  constexpr double kTold = 0.5;  // mm along the edge: what is shorter stands in the checks alone
  std::vector<MissingAllowance> missing;
  if (const Result<GradedPiece> made = grade.outlined_piece(piece, cell))
    missing = missing_allowances(*made, allowances, spec.fold.has_value());
  for (std::size_t e = 0; e < spec.edges.size(); ++e) {
    const EdgeSpec& edge = spec.edges[e];
    if (edge.name == spec.fold) {
      info.edges.push_back({edge.name, "cut double", 0.0});
    } else {
      info.edges.push_back({edge.name, name_of(edge.treatment), allowances[e].value()});
      for (const MissingAllowance& one : missing) {
        if (one.edge == e && one.length >= kTold)
          info.edges.back().missing = fmt::format("{:.1f} mm missing over {:.0f} mm", one.worst, one.length);
      }
    }
  }
  const std::string& made = grade.cells[grade.pieces[piece].drawn_as[cell]].size.label;
  if (made != grade.cells[cell].size.label) info.note = "sizes tied: made as size " + made;
  return info;
}

}  // namespace lastwright
