#include "grading/checks/step_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "grading/checks/measure_steps.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// Times that a limit may be what holds unless it is stated: beyond, it finds nothing that is not seen by eye.
constexpr double kLoose = 10.0;

// What allowances of a treatment lie between, mm; common practice, widely taken. Nothing is said of nothing:
// an edge may be cut as it is finished.
std::pair<double, double> usual_allowance(Treatment treatment) {
  switch (treatment) {
    case Treatment::kLasting:
      return {4.0, 40.0};
    case Treatment::kLap:
      return {3.0, 25.0};
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
      return {0.5, 25.0};
    case Treatment::kRaw:
      return {0.0, 25.0};  // as what is trimmed after
  }
  return {0.0, std::numeric_limits<double>::infinity()};
}

// Allowances that no edge of their treatment has, in the size that leaves it farthest.
std::vector<StyleFinding> unusual_allowances(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& piece = grade.pieces[p].bound;
    std::vector<std::vector<Millimetres>> allowances;  // by cell
    for (std::size_t c = 0; c < grade.cells.size(); ++c) allowances.push_back(grade.allowances(p, c));
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const EdgeSpec& edge = piece.edges[e].spec;
      if (piece.spec.fold == edge.name) continue;
      const auto [low, high] = usual_allowance(edge.treatment);
      double off = 0.0;
      double odd = 0.0;
      std::size_t at = grade.base_cell();
      for (std::size_t c = grade.cells.size(); c-- > 0;) {
        const double here = allowances[c][e].value();
        const double out = here <= 0.0 ? 0.0 : std::max(low - here, here - high);
        if (out <= off) continue;
        off = out;
        odd = here;
        at = c;
      }
      if (off <= 0.0) continue;
      StyleFinding finding{
          "allowance size",
          piece.spec.name + ": " + edge.name,
          odd,
          {},
          "mm",
          at == grade.base_cell() ? "" : where(grade.cells[at]),
          true,
          fmt::format(
              "is its allowance, and {} takes {:g} to {:g} mm as a rule: check the figure and its unit{}",
              name_of(edge.treatment), low, high,
              edge.treatment == Treatment::kBound ? ", or the treatment: a binding goes round the edge as "
                                                    "it is cut"
                                                  : "")};
      finding.doubtful = true;
      all.push_back(std::move(finding));
    }
  }
  return all;
}

}  // namespace

std::vector<StyleFinding> odd_allowances(const StyleGrade& grade) {
  struct One {
    std::size_t piece = 0;
    std::size_t edge = 0;
    double sample = 0.0;
  };
  constexpr double kTimes = 3.0;  // off the middle one of its like; common practice
  std::map<Treatment, std::vector<One>> by_treatment;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& piece = grade.pieces[p].bound;
    const std::vector<Millimetres> allowances = grade.allowances(p, grade.base_cell());
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const EdgeSpec& edge = piece.edges[e].spec;
      if (edge.treatment == Treatment::kRaw || piece.spec.fold == edge.name) continue;
      by_treatment[edge.treatment].push_back({p, e, allowances[e].value()});
    }
  }
  std::vector<StyleFinding> all = unusual_allowances(grade);
  const auto told = [&](const std::string& subject) {
    return std::any_of(all.begin(), all.end(),
                       [&](const StyleFinding& one) { return one.subject == subject; });
  };
  for (const auto& [treatment, edges] : by_treatment) {
    if (edges.size() < 4) continue;
    for (std::size_t i = 0; i < edges.size(); ++i) {
      std::vector<double> others;
      for (std::size_t k = 0; k < edges.size(); ++k) {
        if (k != i) others.push_back(edges[k].sample);
      }
      const double usual = middle_of(others);
      // Where the others disagree among themselves, nothing is usual.
      const auto alike = std::count_if(others.begin(), others.end(), [&](double one) {
        return one <= kTimes * usual && usual <= kTimes * one;
      });
      if (4 * alike < 3 * static_cast<std::ptrdiff_t>(others.size())) continue;
      double odd = edges[i].sample;
      std::size_t at = grade.base_cell();
      for (std::size_t c = 0; c < grade.cells.size(); ++c) {
        const double here = grade.allowances(edges[i].piece, c)[edges[i].edge].value();
        if (std::abs(here - usual) <= std::abs(odd - usual)) continue;
        odd = here;
        at = c;
      }
      constexpr double kWider = 3.0;     // mm; what is less is a matter of the material
      constexpr double kNarrower = 1.0;  // mm
      const bool wide = odd > kTimes * usual && odd > usual + kWider;
      const bool narrow = kTimes * odd < usual && odd < usual - kNarrower;
      if (!wide && !narrow) continue;
      const BoundPiece& piece = grade.pieces[edges[i].piece].bound;
      const std::string subject = piece.spec.name + ": " + piece.edges[edges[i].edge].spec.name;
      if (told(subject)) continue;
      StyleFinding finding{
          "allowance size",
          subject,
          odd,
          {},
          "mm",
          at == grade.base_cell() ? "" : where(grade.cells[at]),
          true,
          fmt::format("is its allowance, and the middle one of the other {} edges of the treatment {} is "
                      "{:g} mm: see whether it is meant",
                      others.size(), name_of(treatment), usual)};
      finding.doubtful = true;
      all.push_back(std::move(finding));
    }
  }
  return all;
}

std::vector<StyleFinding> loose_limits(const StyleSpec& style) {
  const StyleSpec usual;
  std::vector<StyleFinding> all;
  const auto tell = [&](const std::string& key, double given, double unless, const char* unit) {
    StyleFinding finding{"loose limit",
                         key,
                         given,
                         {},
                         unit,
                         "",
                         true,
                         fmt::format("is the limit that is stated, where {:g} {} holds unless one is: a "
                                     "check with so wide a limit says little",
                                     unless, unit)};
    finding.doubtful = true;
    all.push_back(std::move(finding));
  };
  const auto most = [&](const char* key, double given, double unless, const char* unit,
                        double times = kLoose) {
    if (given > times * unless) tell(key, given, unless, unit);
  };
  most("seam", style.seam_limit.value(), usual.seam_limit.value(), "mm");
  most("seam_base", style.seam_limits.base.value(), usual.seam_limits.base.value(), "mm", 5.0);
  if (style.seam_limits.nicks)
    most("seam_nicks", style.seam_limits.nicks->value(), usual.seam_limit.value(), "mm", 20.0);
  most("seam_allowances", style.seam_limits.allowances.value(), usual.seam_limits.allowances.value(), "mm",
       5.0);
  most("holes_meet", style.seam_limits.holes.value(), usual.seam_limits.holes.value(), "mm", 5.0);
  most("check_line", style.check_line_limit.value(), usual.check_line_limit.value(), "mm", 4.0);
  most("seam_turn", style.seam_turn_limit, usual.seam_turn_limit, "degrees");
  most("fold_turn", style.fold_turn_limit, usual.fold_turn_limit, "degrees");
  most("open_girth", style.open_girth_limit.value(), usual.open_girth_limit.value(), "mm", 5.0);
  most("girth_base", style.girth_base_limit, usual.girth_base_limit, "percent", 2.5);
  if (style.base_limit) most("base", *style.base_limit, 2.0, "percent", 6.0);
  if (style.rule_away_limit) most("rule_away", style.rule_away_limit->value(), 0.5, "mm");
  most("nick_in_edge", style.feature_limits.nick_in_edge.value(), usual.feature_limits.nick_in_edge.value(),
       "mm", 3.0);
  // What has to be left at least: a quarter of what holds otherwise.
  const auto least = [&](const char* key, Millimetres given, Millimetres unless) {
    if (given.value() < 0.25 * unless.value()) tell(key, given.value(), unless.value(), "mm");
  };
  const FeatureLimits& stated = style.feature_limits;
  least("lap_stitch", style.seam_limits.lap_stitch, usual.seam_limits.lap_stitch);
  least("hole_to_edge", stated.hole_to_edge, usual.feature_limits.hole_to_edge);
  least("hole_to_hole", stated.hole_to_hole, usual.feature_limits.hole_to_hole);
  least("cut_out_to_edge", stated.cut_out_to_edge, usual.feature_limits.cut_out_to_edge);
  least("cut_out_gap", stated.cut_out_gap, usual.feature_limits.cut_out_gap);
  least("nick_to_hole", stated.nick_to_hole, usual.feature_limits.nick_to_hole);
  least("nick_to_corner", stated.nick_to_corner, usual.feature_limits.nick_to_corner);
  least("nick_to_nick", stated.nick_to_nick, usual.feature_limits.nick_to_nick);
  least("nick_to_net", stated.nick_to_net, usual.feature_limits.nick_to_net);
  for (const auto& [treatment, limit] : style.missing_limits) {
    constexpr double kMuch = 5.0;  // mm; of the allowances only lasting ones are much wider
    if (limit.value() > kMuch)
      tell(fmt::format("missing_allowance, {}", name_of(treatment)), limit.value(), 0.1, "mm");
  }
  for (const PieceSpec& piece : style.pieces) {
    if (piece.lies && !piece.lies->as_drawn)
      most(("lies of " + piece.name).c_str(), piece.lies->limit.value(), LiesSpec{}.limit.value(), "mm", 6.0);
  }
  return all;
}

std::vector<StyleFinding> check_steps(const StyleSpec& style, const StyleGrade& grade,
                                      const MeasureTable& table) {
  std::vector<StyleFinding> all = odd_steps(style, grade, table);
  for (const auto& more : {odd_allowances(grade), loose_limits(style)})
    all.insert(all.end(), more.begin(), more.end());
  return all;
}

}  // namespace lastwright
