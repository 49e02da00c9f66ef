#include "grading/checks/lasting/lining_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "grading/checks/girths/base_edges.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

namespace {

constexpr double kShortestTop = 20.0;     // mm
constexpr double kTopShort = 0.5;         // mm
constexpr std::size_t kMostTops = 1'000;  // edges of a style; with more nothing is looked at

double allowance_of(const StyleGrade& grade, const BaseEdge& top, std::size_t cell) {
  return grade.allowances(top.piece, cell)[top.edge].value();
}

bool is_lining(const PieceSpec& piece) {
  const auto says = [](const std::string& text) {
    return small_letters(text).find("lining") != std::string::npos;
  };
  return says(piece.layer) || says(piece.name);
}

std::vector<BaseEdge> top_edges(const StyleGrade& grade) {
  return base_edges(grade, kShortestTop, [](const PieceSpec& piece, const EdgeSpec& edge) {
    return edge.treatment != Treatment::kLasting && piece.fold != edge.name;
  });
}

// Where the lining is cut short of a trimmed upper by most.
StyleFinding short_of(const StyleGrade& grade, const BaseEdge& lining, const BaseEdge& upper) {
  StyleFinding finding =
      doubtful_finding("lining short", spec_of(grade, lining).name + ": " + lining.spec->name, 0.0, "mm", "");
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    const double own = allowance_of(grade, lining, k);
    const double by = allowance_of(grade, upper, k) - own;
    if (by <= finding.worst) continue;
    finding.worst = by;
    finding.where = grade.cells[k];
    finding.note = fmt::format(
        "is how far it is cut short of {}, which lies on it and is trimmed with {:g} mm of allowance; this "
        "edge is {} with {:g} mm: a lining stands out beyond its upper, or ends with it",
        edge_of_piece(grade, upper), own + by, name_of(lining.spec->treatment), own);
  }
  return finding;
}

}  // namespace

std::vector<StyleFinding> check_linings(const StyleGrade& grade) {
  struct Finished {  // a lining's edge under one that is folded or bound
    const BaseEdge* lining;
    const BaseEdge* upper;
    double allowance;
  };
  std::vector<StyleFinding> all;
  std::vector<Finished> finished;
  const std::vector<BaseEdge> edges = top_edges(grade);
  if (edges.size() > kMostTops) return all;
  for (const BaseEdge& lining : edges) {
    if (!is_lining(spec_of(grade, lining))) continue;
    for (const BaseEdge& upper : edges) {
      const Treatment how = upper.spec->treatment;
      const bool turned = how == Treatment::kFold || how == Treatment::kBound;
      if ((how != Treatment::kTrim && !turned) || is_lining(spec_of(grade, upper)) ||
          grade.pieces[upper.piece].forme != grade.pieces[lining.piece].forme ||
          !lie_on_one_side(lining, upper))
        continue;
      if (turned) {
        finished.push_back({&lining, &upper, allowance_of(grade, lining, grade.base_cell())});
        break;
      }
      StyleFinding finding = short_of(grade, lining, upper);
      if (finding.worst <= kTopShort) continue;
      all.push_back(std::move(finding));
      break;
    }
  }
  for (const Finished& one : finished) {
    if (one.allowance > 0.0 || one.lining->spec->treatment != Treatment::kRaw) continue;
    const auto proud = std::find_if(finished.begin(), finished.end(), [&](const Finished& other) {
      return spec_of(grade, *other.lining).layer == spec_of(grade, *one.lining).layer &&
             other.lining->spec->treatment == Treatment::kTrim && other.allowance > kTopShort;
    });
    if (proud == finished.end()) continue;
    all.push_back(doubtful_finding(
        "lining short", spec_of(grade, *one.lining).name + ": " + one.lining->spec->name, proud->allowance,
        "mm",
        fmt::format(
            "is how far {} stands out beyond the finished edge of its upper, to be trimmed there; this "
            "edge is raw and ends with {}: is its allowance left out?",
            edge_of_piece(grade, *proud->lining), edge_of_piece(grade, *one.upper))));
  }
  return all;
}

}  // namespace lastwright
