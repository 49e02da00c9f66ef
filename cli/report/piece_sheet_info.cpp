#include "cli/report/piece_sheet_info.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>

#include "grading/checks/allowances/missing_allowance.hpp"
#include "grading/checks/seams/edge_in_seam.hpp"
#include "grading/checks/seams/seam_report.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

std::string said(Hand hand, const std::string& drawn_foot) {
  switch (hand) {
    case Hand::kHanded:
      if (drawn_foot == "both") return "as drawn and mirrored, each shoe takes both";
      if (one_foot(drawn_foot))
        return drawn_foot == "left" ? "left as drawn, right mirrored" : "right as drawn, left mirrored";
      return "left and right, mirrored";
    case Hand::kSymmetric:
      return "the same left and right";
    case Hand::kReversible:
      return "reversible material, turned over";
  }
  return "";
}

// The net length of an edge in one size and width; none where there is no such edge.
std::optional<double> sewn_length(const StyleGrade& grade, const SeamSide& side, std::size_t cell) {
  const std::optional<SideOfSeam> at = side_of_seam(grade, side);
  if (!at) return std::nullopt;
  const GradedPiece drawn = grade.drawn_piece(at->piece, cell);
  const std::optional<EdgeInSeam> edge =
      edge_in_seam(drawn.net, drawn.lines, grade.pieces[at->piece].bound, at->edge);
  return edge ? std::optional(edge->length) : std::nullopt;
}

// How an edge differs from those that it is sewn to, each ease taken off, beyond what the style lets pass.
std::string seam_notes(const StyleSpec& style, const StyleGrade& grade, const SeamSide& side,
                       std::size_t cell) {
  const auto same = [](const SeamSide& a, const SeamSide& b) {
    return a.piece == b.piece && a.edge == b.edge;
  };
  std::string notes;
  for (const SeamSpec& seam : style.seams) {
    if (!same(seam.one, side) && !same(seam.other, side)) continue;
    const std::optional<double> one = sewn_length(grade, seam.one, cell);
    const std::optional<double> other = sewn_length(grade, seam.other, cell);
    if (!one || !other) continue;
    const bool first = same(seam.one, side);
    const double longer = (first ? -1.0 : 1.0) * (*other - *one - seam.ease.value());
    if (std::abs(longer) <= style.seam_limit.value()) continue;
    const SeamSide& mate = first ? seam.other : seam.one;
    notes += fmt::format("{}{:.2f} mm {} than {} of {} needs", notes.empty() ? "" : ", ", std::abs(longer),
                         longer > 0.0 ? "longer" : "shorter", mate.edge, mate.piece);
  }
  return notes;
}

}  // namespace

PieceSheetInfo piece_sheet_info(const StyleSpec& style, const StyleGrade& grade, std::size_t piece,
                                std::size_t cell) {
  const PieceSpec& spec = grade.pieces[piece].bound.spec;
  PieceSheetInfo info;
  info.style = style.name;
  info.material = spec.material;
  info.hand = said(spec.hand, drawn_foot_of(style, spec));
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
      info.edges.back().seams = seam_notes(style, grade, {spec.name, edge.name}, cell);
    }
  }
  const std::string& made = grade.cells[grade.pieces[piece].drawn_as[cell]].size.label;
  if (made != grade.cells[cell].size.label) info.note = "sizes tied: made as size " + made;
  return info;
}

}  // namespace lastwright
