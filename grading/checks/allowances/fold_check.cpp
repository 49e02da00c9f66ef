#include "grading/checks/allowances/fold_check.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <string>

#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// Unfolded, the edge turns at the fold by this much.
double turn_at_fold(Radians inside) {
  return 2.0 * std::abs(inside.value() - 0.5 * std::numbers::pi);
}

// What is to be changed where the edge turns.
std::string remedy(const EdgeSpec& fold, bool first, double turned) {
  return fmt::format(
      ": give the forme a rule {{\"square\": [\"{}\"], \"to\": [\"{}\", \"{}\"]}}, by the points that lie "
      "there; check rules and holds beside it; or accept it by \"limits\": {{\"fold_turn\": {:g}}}",
      first ? fold.from : fold.to, fold.from, fold.to, std::ceil(turned * 10.0) / 10.0);
}

}  // namespace

std::optional<FoldAngles> fold_angles(const EdgedOutline& net, std::size_t fold) {
  const std::size_t n = net.path.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (net.edge[i] != fold || net.edge[(i + n - 1) % n] == fold) continue;
    std::size_t last = i;
    while (net.edge[(last + 1) % n] == fold && (last + 1) % n != i) last = (last + 1) % n;
    const ArcSegment before = net.path.segment((i + n - 1) % n);
    const ArcSegment after = net.path.segment((last + 1) % n);
    const auto inside = [](Vec2 in, Vec2 out) { return Radians(std::numbers::pi - angle_between(in, out)); };
    return FoldAngles{inside(before.end_tangent(), net.path.segment(i).start_tangent()),
                      inside(net.path.segment(last).end_tangent(), after.start_tangent())};
  }
  return std::nullopt;
}

std::vector<StyleFinding> check_folds(const StyleGrade& grade, const StyleLooks& looks,
                                      const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& bound = grade.pieces[p].bound;
    const std::optional<std::size_t> fold = fold_edge(bound);
    if (!fold) continue;
    const std::vector<PieceLook>& seen = looks[p];
    const std::optional<FoldAngles>& base = seen[grade.base_cell()].fold;
    if (!base) continue;
    for (const bool first : {true, false}) {
      const double drawn = turn_at_fold(first ? base->first : base->last);
      if (drawn > options.smooth.value()) continue;  // a point in the drawing already, and meant
      const EdgeSpec& edge = bound.edges[*fold].spec;
      StyleFinding finding{
          "fold, smooth",
          bound.spec.name + ": " + (first ? edge.from : edge.to),
          0.0,
          to_degrees(options.fold_turn),
          "degrees",
          {},
          true,
          "unfolded, the edge that crosses the fold here turns by this much more than in the base size"};
      for (std::size_t k = 0; k < grade.run_cells(); ++k) {
        if (!seen[k].fold) continue;
        const double more =
            to_degrees(Radians(turn_at_fold(first ? seen[k].fold->first : seen[k].fold->last) - drawn));
        if (more <= finding.worst) continue;
        finding.worst = more;
        finding.where = grade.cells[k];
      }
      finding.passed = finding.worst <= *finding.limit;
      if (!finding.passed) finding.note += remedy(edge, first, finding.worst);
      findings.push_back(std::move(finding));
    }
  }
  return findings;
}

}  // namespace lastwright
