#include "grading/checks/lining_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "grading/checks/edges_together.hpp"
#include "grading/checks/margin_check.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

namespace {

constexpr double kOnUpper = 0.8;          // of the shorter of the two
constexpr double kShortestTop = 20.0;     // mm
constexpr double kTopShort = 0.5;         // mm
constexpr std::size_t kMostTops = 1'000;  // edges of a style; with more nothing is looked at

struct TopEdge {
  std::size_t piece = 0;
  std::size_t edge = 0;
  OpenArcPath path;
  Box2 box;
  double length = 0.0;
};

const PieceSpec& spec_of(const StyleGrade& grade, const TopEdge& top) {
  return grade.pieces[top.piece].bound.spec;
}
const EdgeSpec& edge_of(const StyleGrade& grade, const TopEdge& top) {
  return grade.pieces[top.piece].bound.edges[top.edge].spec;
}
double allowance_of(const StyleGrade& grade, const TopEdge& top, std::size_t cell) {
  return grade.allowances(top.piece, cell)[top.edge].value();
}
std::string named(const StyleGrade& grade, const TopEdge& top) {
  return fmt::format("{} of {}", edge_of(grade, top).name, spec_of(grade, top).name);
}

bool is_lining(const PieceSpec& piece) {
  const auto says = [](const std::string& text) {
    return small_letters(text).find("lining") != std::string::npos;
  };
  return says(piece.layer) || says(piece.name);
}

std::vector<TopEdge> top_edges(const StyleGrade& grade) {
  std::vector<TopEdge> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
      const EdgeSpec& spec = piece.bound.edges[e].spec;
      if (spec.treatment == Treatment::kLasting || piece.bound.spec.fold == spec.name) continue;
      TopEdge top{p, e, shaped_path(piece.shape.edges[e], piece.shape.base), {}, 0.0};
      if (top.path.size() == 0) continue;
      top.length = length(top.path);
      top.box = bounds(top.path).grown(kOnFeather);
      if (top.length >= kShortestTop) all.push_back(std::move(top));
    }
  }
  return all;
}

bool lies_under(const TopEdge& one, const TopEdge& other) {
  if (!one.box.overlaps(other.box)) return false;
  const TopEdge& shorter = one.length < other.length ? one : other;
  const TopEdge& longer = one.length < other.length ? other : one;
  const Vec2 here = one.path.vertices.back().at - one.path.vertices.front().at;
  const Vec2 there = other.path.vertices.back().at - other.path.vertices.front().at;
  return dot(here, there) > 0.0 &&
         length_on(shorter.path, longer.path, kOnFeather) >= kOnUpper * shorter.length;
}

// Where the lining is cut short of a trimmed upper by most.
StyleFinding short_of(const StyleGrade& grade, const TopEdge& lining, const TopEdge& upper) {
  StyleFinding finding = doubtful_finding(
      "lining short", spec_of(grade, lining).name + ": " + edge_of(grade, lining).name, 0.0, "mm", "");
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    const double own = allowance_of(grade, lining, k);
    const double by = allowance_of(grade, upper, k) - own;
    if (by <= finding.worst) continue;
    finding.worst = by;
    finding.where = where(grade.cells[k]);
    finding.note = fmt::format(
        "is how far it is cut short of {}, which lies on it and is trimmed with {:g} mm of allowance; this "
        "edge is {} with {:g} mm: a lining stands out beyond its upper, or ends with it",
        named(grade, upper), own + by, name_of(edge_of(grade, lining).treatment), own);
  }
  return finding;
}

}  // namespace

std::vector<StyleFinding> check_linings(const StyleGrade& grade) {
  struct Finished {  // a lining's edge under one that is folded or bound
    const TopEdge* lining;
    const TopEdge* upper;
    double allowance;
  };
  std::vector<StyleFinding> all;
  std::vector<Finished> finished;
  const std::vector<TopEdge> edges = top_edges(grade);
  if (edges.size() > kMostTops) return all;
  for (const TopEdge& lining : edges) {
    if (!is_lining(spec_of(grade, lining))) continue;
    for (const TopEdge& upper : edges) {
      const Treatment how = edge_of(grade, upper).treatment;
      const bool turned = how == Treatment::kFold || how == Treatment::kBound;
      if ((how != Treatment::kTrim && !turned) || is_lining(spec_of(grade, upper)) ||
          grade.pieces[upper.piece].forme != grade.pieces[lining.piece].forme || !lies_under(lining, upper))
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
    if (one.allowance > 0.0 || edge_of(grade, *one.lining).treatment != Treatment::kRaw) continue;
    const auto proud = std::find_if(finished.begin(), finished.end(), [&](const Finished& other) {
      return spec_of(grade, *other.lining).layer == spec_of(grade, *one.lining).layer &&
             edge_of(grade, *other.lining).treatment == Treatment::kTrim && other.allowance > kTopShort;
    });
    if (proud == finished.end()) continue;
    all.push_back(doubtful_finding(
        "lining short", spec_of(grade, *one.lining).name + ": " + edge_of(grade, *one.lining).name,
        proud->allowance, "mm",
        fmt::format(
            "is how far {} stands out beyond the finished edge of its upper, to be trimmed there; this "
            "edge is raw and ends with {}: is its allowance left out?",
            named(grade, *proud->lining), named(grade, *one.upper))));
  }
  return all;
}

}  // namespace lastwright
