#include "grading/checks/seams/seam_sides.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/checks/seams/seam_edges.hpp"
#include "grading/checks/seams/seam_mates.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// The farthest that one of the points lies from the nearest of the others.
double farthest_from(const std::vector<Vec2>& from, const std::vector<Vec2>& to) {
  double worst = 0.0;
  for (const Vec2 a : from) {
    double nearest = std::numeric_limits<double>::infinity();
    for (const Vec2 b : to) nearest = std::min(nearest, distance(a, b));
    worst = std::max(worst, nearest);
  }
  return worst;
}

class SideJudge : private SeamEdges {
 public:
  SideJudge(const StyleSpec& style, const StyleGrade& grade, const StyleLooks& looks)
      : SeamEdges(style, grade), looks_(looks) {}

  void judge(const SeamReport& report) {
    if (!take(report)) return;
    allowances();
    lap(one_, other_);
    lap(other_, one_);
    if (!report.side_by_side && report.drawn_together) {
      eyelets();
      eyelets_alone();
    }
    if (report.side_by_side) steps(report);
  }
  std::vector<StyleFinding> findings;

 private:
  // The worst of a figure over the run and the sample.
  template <class Figure>
  StyleFinding worst(const char* check, std::string subject, bool least, Figure figure) const {
    StyleFinding finding{check, std::move(subject), 0.0, {}, "mm", {}, true, "", least};
    for (std::size_t k = 0; k < grade_.cells.size(); ++k) {
      const double value = figure(k);
      if (k > 0 && (least ? value >= finding.worst : value <= finding.worst)) continue;
      finding.worst = value;
      finding.where = grade_.cells[k];
      worst_at_ = k;
    }
    return finding;
  }

  // Laid edge on edge, both are stitched at one distance from the cut edges.
  void allowances() {
    const Treatment here = edge(one_).treatment;
    if (!edge_on_edge(here) || here != edge(other_).treatment) return;
    StyleFinding finding = worst("seam allowances", seam_subject(*seam_), false, [&](std::size_t k) {
      return std::abs(allowance(one_, k) - allowance(other_, k));
    });
    finding.limit = style_.seam_limits.allowances.value();
    finding.passed = finding.worst <= *finding.limit + tolerance::kSamePoint.value();
    finding.note = fmt::format(
        "{} has {:g} mm and {} {:g} mm, both {}: laid edge on edge they are stitched at one distance; make "
        "them alike in "
        "every size",
        named(one_), allowance(one_, worst_at_), named(other_), allowance(other_, worst_at_), name_of(here));
    findings.push_back(std::move(finding));
  }

  // `under` goes under `top` by its allowance.
  void lap(const SideOfSeam& under, const SideOfSeam& top) {
    if (edge(under).treatment != Treatment::kLap) return;
    StyleFinding finding =
        worst("lap width", fmt::format("{} under {}", named(under), piece(top).name), true,
              [&](std::size_t k) { return allowance(under, k) - rows_on(top, allowance(under, k)).last; });
    const double width = allowance(under, worst_at_);
    const StitchRows rows = rows_on(top, width);
    finding.limit = style_.seam_limits.lap_stitch.value();
    finding.passed = finding.worst >= *finding.limit - tolerance::kSamePoint.value();
    if (width <= 0.0) {
      finding.note = fmt::format(
          "it is stated as a lap and has no allowance: nothing of it lies under {}; give it one, or "
          "another treatment",
          named(top));
    } else if (rows.last > 0.0) {
      finding.note = fmt::format(
          "is left of a lap of {:g} mm beyond the last row of \"{}\" on {}, {:g} mm from the edge: make the "
          "lap wider or "
          "the rows nearer",
          width, rows.name, piece(top).name, rows.last);
    } else {
      finding.note = fmt::format("is how wide the lap is under {}", named(top));
      finding.doubtful = finding.passed && std::isfinite(rows.first);
      if (finding.doubtful)
        finding.note +=
            fmt::format("; the row nearest to that edge, of \"{}\", lies {:g} mm from it and misses the lap",
                        rows.name, rows.first);
    }
    findings.push_back(std::move(finding));
  }

  [[nodiscard]] static const std::vector<std::string>* edges_of(const FeatureWork& work) {
    const auto* row = std::get_if<RowWork>(&work);
    return row != nullptr && row->kind == RowKind::kEyelets ? &row->along.edges : nullptr;
  }
  // The eyelets along a side's edge as made; nothing where the style states none.
  [[nodiscard]] std::optional<std::vector<Vec2>> eyelets_of(const SideOfSeam& side, std::size_t cell) const {
    std::optional<std::vector<Vec2>> all;
    for (const EdgeHoles& holes : looks_[side.piece][cell].edge_holes) {
      const auto* edges = edges_of(piece(side).features[holes.feature].work);
      if (edges == nullptr || std::find(edges->begin(), edges->end(), edge(side).name) == edges->end())
        continue;
      if (!all) all.emplace();
      all->insert(all->end(), holes.at.begin(), holes.at.end());
    }
    return all;
  }

  // One side alone has eyelets, and they lie over the other piece.
  void eyelets_alone() {
    const std::size_t base = grade_.base_cell();
    const auto here = eyelets_of(one_, base);
    const auto there = eyelets_of(other_, base);
    if (here.has_value() == there.has_value()) return;
    const SideOfSeam& with = here ? one_ : other_;
    const SideOfSeam& without = here ? other_ : one_;
    const ClosedArcPath under = grade_.drawn_piece(without.piece, base).net.path;
    const auto& holes = here ? *here : *there;
    const auto over = std::count_if(holes.begin(), holes.end(), [&](Vec2 at) { return contains(under, at); });
    if (over == 0) return;
    findings.push_back(doubtful_finding("eyelets alone",
                                        fmt::format("{} over {}", piece(with).name, piece(without).name),
                                        static_cast<double>(over), "holes",
                                        fmt::format("of the eyelets along {} lie over {}, which has none "
                                                    "there: eyelets are set through both; state them "
                                                    "on "
                                                    "both, or see whether one is punched later",
                                                    named(with), piece(without).name)));
  }

  void eyelets() {
    std::size_t asked = 0;
    std::optional<std::size_t> uneven;
    StyleFinding finding = worst("eyelets meet", seam_subject(*seam_), false, [&](std::size_t k) {
      const auto here = eyelets_of(one_, k);
      const auto there = eyelets_of(other_, k);
      if (!here || !there) return 0.0;
      ++asked;
      const bool halves = piece(one_).fold || piece(other_).fold;
      if (!halves && here->size() != there->size() && !uneven) uneven = k;
      return halves ? std::min(farthest_from(*here, *there), farthest_from(*there, *here))
                    : worst_miss(*here, *there);
    });
    if (asked == 0) return;
    finding.limit = style_.seam_limits.holes.value();
    finding.passed = finding.worst <= *finding.limit && !uneven;
    finding.note = fmt::format(
        "the eyelets of {} and those of {} miss each other by this: they are punched through both",
        piece(one_).name, piece(other_).name);
    if (uneven) {
      finding.note +=
          fmt::format("; {} has {} and {} has {} in {}", piece(one_).name, eyelets_of(one_, *uneven)->size(),
                      piece(other_).name, eyelets_of(other_, *uneven)->size(), where(grade_.cells[*uneven]));
    }
    findings.push_back(std::move(finding));
  }

  // Edges that run on in one line over the seam's ends.
  void steps(const SeamReport& report) {
    for (const bool first : {true, false}) {
      const SeamCell& sample = report.cells.back();
      const double turn = (first ? sample.first : sample.last).turn.value();
      if (std::abs(turn) > tolerance::kCorner.value()) continue;
      const SideOfSeam here = beside(one_, first);
      const SideOfSeam there = beside(other_, first != report.against);
      if (on_fold(here) || on_fold(there) || edge(here).treatment != edge(there).treatment) continue;
      const auto apart = [&](std::size_t k) { return std::abs(allowance(here, k) - allowance(there, k)); };
      const double alike = style_.seam_limits.allowances.value();
      const bool also_in_sample = apart(grade_.base_cell()) > alike;
      StyleFinding finding =
          worst("allowance step", fmt::format("{} and {}", named(here), named(there)), false, apart);
      finding.doubtful = finding.worst > alike;
      finding.note = fmt::format(
          "they run on in one line over the seam and have {:g} and {:g} mm here, {}",
          allowance(here, worst_at_), allowance(there, worst_at_),
          also_in_sample ? "so the cut line steps there: see whether it is meant"
                         : "and are alike in the base size: state the same \"allowance_from\" on both");
      if (finding.doubtful) findings.push_back(std::move(finding));
    }
  }
  [[nodiscard]] SideOfSeam beside(const SideOfSeam& side, bool at_start) const {
    const std::size_t n = grade_.pieces[side.piece].bound.edges.size();
    return {side.piece, (side.edge + (at_start ? n - 1 : 1)) % n};
  }

  const StyleLooks& looks_;
  mutable std::size_t worst_at_ = 0;
};

}  // namespace

std::vector<EdgeHoles> holes_along_edges(const PieceSpec& piece, const std::vector<PlacedFeature>& features) {
  std::vector<EdgeHoles> all;
  for (std::size_t f = 0; f < features.size() && f < piece.features.size(); ++f) {
    const auto* row = std::get_if<RowWork>(&piece.features[f].work);
    if (row == nullptr || row->kind != RowKind::kEyelets || row->along.edges.empty()) continue;
    EdgeHoles holes{f, {}};
    for (const GradedHole& hole : features[f].holes) holes.at.push_back(hole.centre);
    all.push_back(std::move(holes));
  }
  return all;
}

double worst_miss(const std::vector<Vec2>& one, const std::vector<Vec2>& other) {
  return std::max(farthest_from(one, other), farthest_from(other, one));
}

std::vector<StyleFinding> check_seam_sides(const StyleSpec& style, const StyleGrade& grade,
                                           const StyleLooks& looks,
                                           const Result<std::vector<SeamReport>>& reports) {
  if (!reports) return {};  // check_seams tells why
  std::vector<StyleFinding> findings = check_mates(style, grade, *reports);
  SideJudge judge(style, grade, looks);
  for (const SeamReport& report : *reports) judge.judge(report);
  findings.insert(findings.end(), judge.findings.begin(), judge.findings.end());
  return findings;
}

}  // namespace lastwright
