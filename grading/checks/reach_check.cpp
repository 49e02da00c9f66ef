#include "grading/checks/reach_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"
#include "grading/checks/piece_look.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

double reach_limit(const StyleSpec& style, Treatment treatment) {
  const auto stated = style.reach_limits.find(treatment);
  return stated == style.reach_limits.end() ? kFarthestReach : stated->second;
}

std::string subject_of(const PieceSpec& piece, std::size_t edge) {
  return piece.name + ": " + piece.edges[edge].name;
}

// Of one edge over the run: the place that is farthest in times of its allowance.
std::optional<StyleFinding> reach_of(const StyleSpec& style, const StyleGrade& grade,
                                     const std::vector<PieceLook>& looks, std::size_t p, std::size_t e) {
  const CutReach* worst = nullptr;
  std::size_t cell = 0;
  std::vector<double> times;  // the farthest of each size and width
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    double here = 0.0;
    for (const CutReach& one : looks[k].reaches) {
      if (one.edge != e) continue;
      here = std::max(here, one.times());
      if (worst != nullptr && one.times() <= worst->times()) continue;
      worst = &one;
      cell = k;
    }
    if (here > 0.0) times.push_back(here);
  }
  const PieceSpec& spec = grade.pieces[p].bound.spec;
  const Treatment treatment = spec.edges[e].treatment;
  const double limit = reach_limit(style, treatment);
  if (worst == nullptr || worst->times() <= std::min(limit, kFarthestReach)) return std::nullopt;
  StyleFinding finding{"cut line reach", subject_of(spec, e), worst->times(),          limit,
                       "times",          grade.cells[cell],   worst->times() <= limit, ""};
  finding.note = fmt::format(
      "its allowance: the cut line runs {:.1f} mm from the net line to its tip at ({:.1f}, {:.1f}), where "
      "the wider allowance is {:g} mm ({}); redraw the corner or give it the form \"round\" or \"square\", "
      "or state \"limits\": {{\"cut_line_reach\": {{\"{}\": {:g}}}}}",
      worst->reach, worst->at.x, worst->at.y, worst->allowance, name_of(treatment), name_of(treatment),
      std::ceil(10.0 * worst->times()) / 10.0);
  // Near its limit a corner passes in some sizes and not in others, though it is one corner.
  const auto over = std::count_if(times.begin(), times.end(), [&](double one) { return one > limit; });
  if (over > 0 && over < static_cast<std::ptrdiff_t>(times.size()))
    finding.note += fmt::format(
        "; so in {} of {} sizes and widths, and in the others {:.2f} times or more, as it is one corner: "
        "change it for all",
        over, times.size(), *std::min_element(times.begin(), times.end()));
  return finding;
}

// The narrowest spike of an edge over the run, and how many it has there.
std::optional<StyleFinding> spike_of(const StyleSpec& style, const StyleGrade& grade,
                                     const std::vector<PieceLook>& looks, std::size_t p, std::size_t e) {
  const NetSpike* worst = nullptr;
  std::size_t cell = 0;
  const auto narrow = [&](const NetSpike& one) {
    return one.edge == e && one.width < style.spike_limit.value();
  };
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    for (const NetSpike& one : looks[k].spikes) {
      if (!narrow(one) || (worst != nullptr && one.width >= worst->width)) continue;
      worst = &one;
      cell = k;
    }
  }
  if (worst == nullptr) return std::nullopt;
  std::vector<Vec2> tips;
  for (const NetSpike& one : looks[cell].spikes) {
    const auto near = [&](Vec2 tip) { return distance(tip, one.at) < one.width; };
    if (narrow(one) && std::none_of(tips.begin(), tips.end(), near)) tips.push_back(one.at);
  }
  StyleFinding finding{"spike",      subject_of(grade.pieces[p].bound.spec, e),
                       worst->width, style.spike_limit.value(),
                       "mm",         grade.cells[cell],
                       false,        ""};
  finding.least = true;
  finding.note = fmt::format(
      "wide and {:.1f} mm long: the net line runs out and back again, its tip at ({:.1f}, {:.1f})",
      worst->length, worst->at.x, worst->at.y);
  if (worst->allowance > 0.0)
    finding.note += fmt::format(", and an allowance of {:g} mm goes round it", worst->allowance);
  if (tips.size() > 1) finding.note += fmt::format("; the edge has {} of them", tips.size());
  finding.note += "; redraw the edge, or state a smaller \"spike_width\" in \"limits\"";
  return finding;
}

}  // namespace

std::vector<CutReach> cut_reaches(const GradedPiece& piece, std::span<const Millimetres> allowances) {
  constexpr double kTip = 0.34;  // sine of 20 degrees: a corner of the cut line
  std::vector<CutReach> found;
  const ClosedArcPath& cut = piece.cut.path;
  for (std::size_t i = 0; i < cut.size(); ++i) {
    const std::size_t before = (i + cut.size() - 1) % cut.size();
    const auto width = [&](std::size_t segment) { return allowances[piece.cut.edge[segment]].value(); };
    const std::size_t edge = piece.cut.edge[width(before) > width(i) ? before : i];
    const double allowance = allowances[edge].value();
    if (allowance <= 0.0) continue;
    const Vec2 arriving = cut.segment(before).end_tangent();
    const Vec2 leaving = cut.segment(i).start_tangent();
    if (dot(arriving, leaving) > 0.0 && std::abs(cross(arriving, leaving)) < kTip) continue;
    const CutReach here{edge, distance_to(piece.net.path, cut.vertices[i].at), allowance, cut.vertices[i].at};
    if (here.reach <= allowance + tolerance::kOffset.value()) continue;
    const auto known =
        std::find_if(found.begin(), found.end(), [&](const CutReach& one) { return one.edge == edge; });
    if (known == found.end()) {
      found.push_back(here);
    } else if (here.times() > known->times()) {
      *known = here;
    }
  }
  return found;
}

std::vector<StyleFinding> check_reach(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<std::vector<PieceLook>>& looks) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    for (std::size_t e = 0; e < grade.pieces[p].bound.spec.edges.size(); ++e) {
      if (auto reach = reach_of(style, grade, looks[p], p, e)) findings.push_back(*std::move(reach));
      if (auto spike = spike_of(style, grade, looks[p], p, e)) findings.push_back(*std::move(spike));
    }
  }
  return findings;
}

}  // namespace lastwright
