#include "grading/checks/seam_sides.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

struct SideOfSeam {
  std::size_t piece = 0;
  std::size_t edge = 0;
};

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

class SideJudge {
 public:
  SideJudge(const StyleSpec& style, const StyleGrade& grade, const StyleLooks& looks)
      : style_(style), grade_(grade), looks_(looks) {}

  void judge(const SeamReport& report) {
    seam_ = &style_.seams[report.seam];
    const std::optional<SideOfSeam> one = find(seam_->one);
    const std::optional<SideOfSeam> other = find(seam_->other);
    if (!one || !other) return;
    one_ = *one;
    other_ = *other;
    if (on_fold(one_) || on_fold(other_)) return;
    if (report.side_by_side) treatments();
    hands(report);
    layers(report);
    counts();
    allowances();
    lap(one_, other_);
    lap(other_, one_);
    if (!report.side_by_side && report.drawn_together) eyelets();
    if (report.side_by_side) steps(report);
  }
  std::vector<StyleFinding> findings;

 private:
  [[nodiscard]] std::optional<SideOfSeam> find(const SeamSide& side) const {
    for (std::size_t p = 0; p < grade_.pieces.size(); ++p) {
      const BoundPiece& piece = grade_.pieces[p].bound;
      if (piece.spec.name != side.piece) continue;
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        if (piece.edges[e].spec.name == side.edge) return SideOfSeam{p, e};
      }
    }
    return std::nullopt;
  }
  [[nodiscard]] const PieceSpec& piece(const SideOfSeam& side) const {
    return grade_.pieces[side.piece].bound.spec;
  }
  [[nodiscard]] const EdgeSpec& edge(const SideOfSeam& side) const {
    return grade_.pieces[side.piece].bound.edges[side.edge].spec;
  }
  [[nodiscard]] std::string named(const SideOfSeam& side) const {
    return edge(side).name + " of " + piece(side).name;
  }
  [[nodiscard]] bool on_fold(const SideOfSeam& side) const { return piece(side).fold == edge(side).name; }
  [[nodiscard]] double allowance(const SideOfSeam& side, std::size_t cell) const {
    return grade_.allowances(side.piece, cell)[side.edge].value();
  }

  // The worst of a figure over the run and the sample.
  template <class Figure>
  StyleFinding worst(const char* check, std::string subject, bool least, Figure figure) const {
    StyleFinding finding{check, std::move(subject), 0.0, {}, "mm", "", true, "", least};
    for (std::size_t k = 0; k < grade_.cells.size(); ++k) {
      const double value = figure(k);
      if (k > 0 && (least ? value >= finding.worst : value <= finding.worst)) continue;
      finding.worst = value;
      finding.where = where(grade_.cells[k]);
      worst_at_ = k;
    }
    return finding;
  }

  [[nodiscard]] static bool edge_on_edge(Treatment treatment) {
    return treatment == Treatment::kClosedSeam || treatment == Treatment::kOpenSeam ||
           treatment == Treatment::kBagged;
  }

  // Pairs of treatments that no seam is made of: told, for a word may be meant otherwise.
  void treatments() {
    const Treatment here = edge(one_).treatment;
    const Treatment there = edge(other_).treatment;
    std::string why;
    if (here == Treatment::kLap && there == Treatment::kLap && seams_of(one_) == 1 && seams_of(other_) == 1) {
      why = "both are laps: one goes under and the other lies on top, as raw or folded";
    } else if (edge_on_edge(here) != edge_on_edge(there)) {
      why = "one is laid edge on edge with its mate and the other is not";
    } else if (edge_on_edge(here) && here != there) {
      why = "both are laid edge on edge, in unlike ways";
    } else if (here == Treatment::kRaw && there == Treatment::kRaw && (has_rows(one_) || has_rows(other_)) &&
               allowance(one_, grade_.base_cell()) == 0.0 && allowance(other_, grade_.base_cell()) == 0.0) {
      why = "stitches run along the seam, and neither piece reaches under the other";
    }
    if (why.empty()) return;
    StyleFinding finding{"seam treatments", seam_subject(*seam_), 0.0, {}, "mm", "", true, ""};
    finding.doubtful = true;
    finding.note = fmt::format("{} is {} and {} is {}: {}", named(one_), name_of(here), named(other_),
                               name_of(there), why);
    findings.push_back(std::move(finding));
  }

  void doubt(const char* check, std::string note) {
    StyleFinding finding{check, seam_subject(*seam_), 0.0, {}, "mm", "", true, std::move(note)};
    finding.doubtful = true;
    findings.push_back(std::move(finding));
  }

  // Both pieces on one side of the line they share, and sewn as what lies side by side: one of them is cut as
  // its mirror image.
  void hands(const SeamReport& report) {
    const Treatment here = edge(one_).treatment;
    const bool opened = here == Treatment::kClosedSeam || here == Treatment::kOpenSeam;
    if (!report.side_by_side && report.drawn_together && opened && here == edge(other_).treatment &&
        same_layer()) {
      doubt(
          "seam hands",
          fmt::format("both pieces lie on one side of the edges they share, and each is {}: if one is cut as "
                      "its mirror image state \"mirrored\": true, for now the ends of the seam are judged as "
                      "of pieces that lie on each other",
                      name_of(here)));
    }
    if (seam_->mirrored && report.against && report.drawn_together) {
      doubt("seam hands",
            "\"mirrored\" says that one piece is cut as its mirror image, and the pieces lie on either side "
            "of the edges they share: leave it out, or check how they are drawn");
    }
  }

  [[nodiscard]] bool same_layer() const {
    const std::string& here = piece(one_).layer;
    const std::string& there = piece(other_).layer;
    return here.empty() || there.empty() || here == there;
  }
  // What is sewn side by side goes on round the last in one layer.
  void layers(const SeamReport& report) {
    if (same_layer() || seam_->mirrored || !report.side_by_side || !report.drawn_together) return;
    doubt(
        "seam layers",
        fmt::format("{} is of the layer {} and {} of {}, and the seam joins them side by side: the girths in "
                    "pieces take each for a layer of its own",
                    piece(one_).name, piece(one_).layer, piece(other_).name, piece(other_).layer));
  }

  // How often a pair of boots has a side's edge.
  [[nodiscard]] int times(const SideOfSeam& side) const {
    return piece(side).per_pair * (piece(side).fold ? 2 : 1);
  }
  // Of the mates of an edge some are as many as it is, all in one seam or shared between several.
  [[nodiscard]] bool can_make_up(const SideOfSeam& whole, const SideOfSeam& part) const {
    const int wanted = times(whole) - times(part);
    std::vector<int> sums{0};
    bool without = true;  // this mate itself is in
    for (const SeamSpec& seam : style_.seams) {
      for (const auto& [here, there] :
           {std::pair{&seam.one, &seam.other}, std::pair{&seam.other, &seam.one}}) {
        if (here->piece != piece(whole).name || here->edge != edge(whole).name) continue;
        if (without && there->piece == piece(part).name && there->edge == edge(part).name) {
          without = false;
          continue;
        }
        const std::optional<SideOfSeam> mate = find(*there);
        if (!mate || sums.size() > 1000) continue;
        const std::size_t known = sums.size();
        for (std::size_t i = 0; i < known; ++i) sums.push_back(sums[i] + times(*mate));
      }
    }
    return std::find(sums.begin(), sums.end(), wanted) != sums.end();
  }
  [[nodiscard]] std::string counted(const SideOfSeam& side) const {
    const PieceSpec& spec = piece(side);
    return fmt::format("{} of {} {} times ({} cut for it{})", edge(side).name, spec.name, times(side),
                       spec.per_pair, spec.fold ? ", each double" : "");
  }
  void counts() {
    const bool more_here = times(one_) > times(other_);
    const SideOfSeam& more = more_here ? one_ : other_;
    const SideOfSeam& fewer = more_here ? other_ : one_;
    // What is trimmed once it is sewn need not be as long as what it is sewn to: that may be no seam.
    if (times(more) == times(fewer) || edge(more).treatment == Treatment::kTrim || can_make_up(more, fewer))
      return;
    if (!counted_.emplace(more.piece, fewer.piece).second) return;
    doubt("seam counts", fmt::format("a pair has {} and {}: check \"per_pair\" (4 for a piece on both sides "
                                     "of a shoe), the fold, and seams that are not stated",
                                     counted(more), counted(fewer)));
  }
  // Two laps under a third piece are sewn to it as well.
  [[nodiscard]] std::ptrdiff_t seams_of(const SideOfSeam& side) const {
    const auto is = [&](const SeamSide& one) {
      return one.piece == piece(side).name && one.edge == edge(side).name;
    };
    return std::count_if(style_.seams.begin(), style_.seams.end(),
                         [&](const SeamSpec& seam) { return is(seam.one) || is(seam.other); });
  }
  [[nodiscard]] bool has_rows(const SideOfSeam& side) const {
    return std::isfinite(rows_on(side, 0.0).first);
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

  // The last row of the stitching that holds the seam: of each feature that begins on the lap. `first`: of
  // the row nearest to the edge, wherever it is.
  struct Rows {
    double first = std::numeric_limits<double>::infinity();
    double last = 0.0;
    std::string name;
  };
  [[nodiscard]] Rows rows_on(const SideOfSeam& top, double lap) const {
    Rows rows;
    for (const FeatureSpec& feature : piece(top).features) {
      const auto* line = std::get_if<LineWork>(&feature.work);
      if (line == nullptr || line->kind != LineKind::kStitch) continue;
      const auto& edges = line->along.edges;
      if (std::find(edges.begin(), edges.end(), edge(top).name) == edges.end()) continue;
      const double first = line->along.inset.value();
      const double last = first + (line->rows - 1) * line->row_gap.value();
      if (first < rows.first) {
        rows.first = first;
        if (rows.last == 0.0) rows.name = feature.name;
      }
      if (first >= lap || last <= rows.last) continue;
      rows.last = last;
      rows.name = feature.name;
    }
    return rows;
  }

  // `under` goes under `top` by its allowance.
  void lap(const SideOfSeam& under, const SideOfSeam& top) {
    if (edge(under).treatment != Treatment::kLap) return;
    StyleFinding finding =
        worst("lap width", fmt::format("{} under {}", named(under), piece(top).name), true,
              [&](std::size_t k) { return allowance(under, k) - rows_on(top, allowance(under, k)).last; });
    const double width = allowance(under, worst_at_);
    const Rows rows = rows_on(top, width);
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

  const StyleSpec& style_;
  const StyleGrade& grade_;
  const StyleLooks& looks_;
  std::set<std::pair<std::size_t, std::size_t>> counted_;  // pieces that are told not to be as many
  const SeamSpec* seam_ = nullptr;
  SideOfSeam one_;
  SideOfSeam other_;
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
  SideJudge judge(style, grade, looks);
  if (!reports) return {};  // check_seams tells why
  for (const SeamReport& report : *reports) judge.judge(report);
  return std::move(judge.findings);
}

}  // namespace lastwright
