#include "grading/checks/allowances/allowance_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include "geometry/middle_value.hpp"
#include "grading/checks/like_check.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

// What allowances of a treatment lie between, mm; common practice, widely taken. Nothing is said of nothing:
// an edge may be cut as it is finished.
std::pair<double, double> usual_allowance(Treatment treatment, std::optional<FormeRole> role) {
  switch (treatment) {
    case Treatment::kLasting:
      // A heel cover is lasted with less.
      return role == FormeRole::kUpper ? std::pair{8.0, 25.0} : std::pair{4.0, 40.0};
    case Treatment::kLap:
      return {3.0, 16.0};
    case Treatment::kFold:
      return {2.0, 30.0};  // round a buckle, too
    case Treatment::kClosedSeam:
      return {0.5, 8.0};
    case Treatment::kOpenSeam:
      return {0.5, 15.0};
    case Treatment::kBagged:
      return {0.5, 10.0};
    case Treatment::kBound:
      return {0.0, 1.0};  // the binding goes round the edge as it is cut
    case Treatment::kTrim:
      return {0.5, 10.0};
    case Treatment::kRaw:
      return {0.0, 0.0};  // it is cut as it is finished
  }
  return {0.0, std::numeric_limits<double>::infinity()};
}

std::string unusual_note(Treatment treatment, double low, double high) {
  if (treatment == Treatment::kRaw)
    return "is its allowance, and a raw edge, as every edge is whose treatment is not stated, is cut as it "
           "is "
           "finished: check the figure, or state the treatment";
  return fmt::format(
      "is its allowance, and {} takes {:g} to {:g} mm as a rule: check the figure and its unit{}",
      name_of(treatment), low, high,
      treatment == Treatment::kBound ? ", or the treatment: a binding goes round the edge as it is cut" : "");
}

// An edge of a piece with its allowance in every cell.
struct EdgeSizes {
  const StyleGrade& grade;
  std::size_t piece = 0;
  std::size_t edge = 0;
  std::vector<double> mm;  // by cell
  [[nodiscard]] const EdgeSpec& spec() const { return grade.pieces[piece].bound.edges[edge].spec; }
  [[nodiscard]] double sample() const { return mm[grade.base_cell()]; }
  [[nodiscard]] StyleFinding told(double odd, std::size_t at, std::string note) const {
    StyleFinding finding =
        doubtful_finding("allowance size", grade.pieces[piece].bound.spec.name + ": " + spec().name, odd,
                         "mm", std::move(note));
    if (at != grade.base_cell()) finding.where = grade.cells[at];
    return finding;
  }
};

std::vector<EdgeSizes> all_edges(const StyleGrade& grade) {
  std::vector<EdgeSizes> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& piece = grade.pieces[p].bound;
    std::vector<EdgeSizes> edges;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) edges.push_back({grade, p, e, {}});
    for (std::size_t c = 0; c < grade.cells.size(); ++c) {
      const std::vector<Millimetres> allowances = grade.allowances(p, c);
      for (EdgeSizes& edge : edges) edge.mm.push_back(allowances[edge.edge].value());
    }
    for (EdgeSizes& edge : edges) {
      if (piece.spec.fold != edge.spec().name) all.push_back(std::move(edge));
    }
  }
  return all;
}

// An allowance that no edge of the treatment has, in the size that leaves it farthest.
std::optional<StyleFinding> unusual(const EdgeSizes& edge) {
  const StyleGrade& grade = edge.grade;
  const Treatment treatment = edge.spec().treatment;
  const auto [low, high] =
      usual_allowance(treatment, role_of(grade.formes[grade.pieces[edge.piece].forme].map.forme()));
  double off = 0.0;
  std::size_t at = grade.base_cell();
  for (std::size_t c = grade.cells.size(); c-- > 0;) {
    const double here = edge.mm[c];
    const double out = here <= 0.0 ? 0.0 : std::max(low - here, here - high);
    if (out <= off) continue;
    off = out;
    at = c;
  }
  if (off <= 0.0) return std::nullopt;
  return edge.told(edge.mm[at], at, unusual_note(treatment, low, high));
}

// Nothing, on an edge whose treatment is to turn in, to sew or to trim something.
std::optional<StyleFinding> nothing_there(const EdgeSizes& edge) {
  const Treatment treatment = edge.spec().treatment;
  const bool takes = treatment == Treatment::kTrim || treatment == Treatment::kFold ||
                     treatment == Treatment::kOpenSeam || treatment == Treatment::kBagged;
  if (!takes || edge.sample() > 0.0) return std::nullopt;
  const auto [low, high] = usual_allowance(treatment, std::nullopt);
  return edge.told(
      0.0, edge.grade.base_cell(),
      fmt::format("is its allowance, and {} takes {:g} to {:g} mm as a rule: state the allowance, "
                  "or the edge as raw, if it is cut as it is finished",
                  name_of(treatment), low, high));
}

// An allowance that is narrower in a larger size, or much wider.
std::optional<StyleFinding> by_size(const EdgeSizes& edge) {
  constexpr double kTimes = 1.5;
  const StyleGrade& grade = edge.grade;
  std::map<Fraction, std::pair<double, std::size_t>> sizes;  // by position: the allowance and a cell of it
  for (std::size_t c = 0; c < grade.run_cells(); ++c)
    sizes.emplace(grade.cells[c].size.position, std::pair{edge.mm[c], c});
  if (sizes.empty()) return std::nullopt;
  for (auto last = sizes.begin(), one = std::next(last); one != sizes.end(); last = one++) {
    const auto& [before, from] = last->second;
    const auto& [here, at] = one->second;
    const bool falls = here < before;
    if (!falls && here <= kTimes * before) continue;
    return edge.told(
        here, at,
        fmt::format(
            "is its allowance from this size on, and {:g} mm in size {}: {}; check \"allowance_from\"",
            before, grade.cells[from].size.label,
            falls ? "allowances grow with the size, if they change"
                  : "more than half as wide again in one step"));
  }
  return std::nullopt;
}

// The same edge of the other side's copy of its piece, as wide.
bool is_copy_of(const EdgeSizes& one, const EdgeSizes& other) {
  const PieceSpec& here = one.grade.pieces[one.piece].bound.spec;
  const PieceSpec& there = one.grade.pieces[other.piece].bound.spec;
  return one.piece != other.piece && one.spec().name == other.spec().name && one.sample() == other.sample() &&
         stated_alike(here, there);
}

// Against the other edges of its treatment, in the sample.
std::optional<StyleFinding> unlike(const EdgeSizes& edge, const std::vector<double>& others) {
  constexpr double kTimes = 2.5;     // as wide as the middle one of its like; common practice
  constexpr double kShare = 3.0;     // of it, narrower
  constexpr double kWider = 3.0;     // mm; what is less is a matter of the material
  constexpr double kNarrower = 1.0;  // mm
  constexpr std::size_t kMany = 3;
  constexpr double kOneFigure = 1.3;   // the widest of them beside the narrowest
  constexpr double kTimesOfAll = 1.5;  // as wide as the widest of them
  if (others.size() < 3) return std::nullopt;
  const double usual = middle_value(others);
  // Where the others disagree among themselves, nothing is usual.
  const auto alike = std::count_if(others.begin(), others.end(), [&](double one) {
    return one <= kShare * usual && usual <= kShare * one;
  });
  if (4 * alike < 3 * static_cast<std::ptrdiff_t>(others.size())) return std::nullopt;
  double odd = edge.sample();
  std::size_t at = edge.grade.base_cell();
  for (std::size_t c = 0; c < edge.mm.size(); ++c) {
    if (std::abs(edge.mm[c] - usual) <= std::abs(odd - usual)) continue;
    odd = edge.mm[c];
    at = c;
  }
  const bool wide = odd > kTimes * usual && odd > usual + kWider;
  const bool narrow = kShare * odd < usual && odd < usual - kNarrower;
  // Where all others have nearly one figure, less of a difference is odd.
  const auto [least, most] = std::minmax_element(others.begin(), others.end());
  const bool unlike_all = others.size() > kMany && *most <= kOneFigure * *least &&
                          odd > kTimesOfAll * *most && odd > usual + kWider;
  if (!wide && !narrow && !unlike_all) return std::nullopt;
  return edge.told(
      odd, at,
      fmt::format("is its allowance, and the middle one of the other {} edges of the treatment {} "
                  "is {:g} mm: see whether it is meant",
                  others.size(), name_of(edge.spec().treatment), usual));
}

// Wider than any, in the size where it is widest.
std::optional<StyleFinding> too_wide(const EdgeSizes& edge, double widest) {
  const auto most = std::max_element(edge.mm.begin(), edge.mm.end());
  if (*most <= widest) return std::nullopt;
  StyleFinding finding = edge.told(
      *most, static_cast<std::size_t>(most - edge.mm.begin()),
      fmt::format("is its allowance ({}), and none is wider than {:g} mm: check the figure and its unit, or "
                  "state \"limits\": {{\"widest_allowance\": {:g}}}",
                  name_of(edge.spec().treatment), widest, *most));
  finding.limit = widest;
  finding.passed = false;
  finding.doubtful = false;
  return finding;
}

}  // namespace

std::vector<StyleFinding> odd_allowances(const StyleGrade& grade, Millimetres widest) {
  const std::vector<EdgeSizes> edges = all_edges(grade);
  std::vector<StyleFinding> all;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const EdgeSizes& edge = edges[i];
    std::optional<StyleFinding> found = too_wide(edge, widest.value());
    if (!found) found = unusual(edge);
    if (!found) found = by_size(edge);
    if (!found && edge.spec().treatment != Treatment::kRaw) {
      std::vector<double> others;
      for (std::size_t k = 0; k < edges.size(); ++k) {
        if (k != i && edges[k].spec().treatment == edge.spec().treatment && !is_copy_of(edges[k], edge))
          others.push_back(edges[k].sample());
      }
      found = unlike(edge, others);
    }
    if (!found) found = nothing_there(edge);
    if (found) all.push_back(*std::move(found));
  }
  return all;
}

}  // namespace lastwright
