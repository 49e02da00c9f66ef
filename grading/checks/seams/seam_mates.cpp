#include "grading/checks/seams/seam_mates.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "grading/checks/seams/edges_together.hpp"
#include "grading/checks/seams/seam_edges.hpp"

namespace lastwright {

namespace {

class MateJudge : private SeamEdges {
 public:
  MateJudge(const StyleSpec& style, const StyleGrade& grade) : SeamEdges(style, grade) {}

  void judge(const SeamReport& report) {
    if (!take(report)) return;
    if (report.side_by_side) treatments(report.drawn_together);
    stated_twice(report.seam);
    hands(report);
    layers(report);
    counts();
  }
  std::vector<StyleFinding> findings;

 private:
  // Pairs of treatments that no seam is made of: told, for a word may be meant otherwise.
  void treatments(bool drawn_together) {
    const Treatment here = edge(one_).treatment;
    const Treatment there = edge(other_).treatment;
    std::string why;
    if (lasted_in(drawn_together)) {
      why =
          "an edge that is lasted is drawn over the edge of the last and sewn to nothing beside it: check "
          "the "
          "treatment, or the edge that the seam names";
    } else if (here == Treatment::kLap && there == Treatment::kLap && !covered()) {
      why = "both are laps: one goes under and the other lies on top, as raw or folded";
    } else if (edge_on_edge(here) != edge_on_edge(there)) {
      why = "one is laid edge on edge with its mate and the other is not";
    } else if (edge_on_edge(here) && here != there) {
      why = "both are laid edge on edge, in unlike ways";
    } else if (here == Treatment::kRaw && there == Treatment::kRaw && (has_rows(one_) || has_rows(other_)) &&
               allowance(one_, grade_.base_cell()) == 0.0 && allowance(other_, grade_.base_cell()) == 0.0) {
      why = "stitches run along the seam, and neither piece reaches under the other";
    } else if (here == Treatment::kRaw && there == Treatment::kRaw &&
               std::abs(allowance(one_, grade_.base_cell()) - allowance(other_, grade_.base_cell())) >
                   style_.seam_limits.allowances.value()) {
      why = fmt::format(
          "they have {:g} and {:g} mm, and raw edges meet edge to edge: what reaches under the other is a "
          "lap",
          allowance(one_, grade_.base_cell()), allowance(other_, grade_.base_cell()));
    } else if (reaches_past(one_, other_) || reaches_past(other_, one_)) {
      why =
          fmt::format("each reaches past the seam, by {:g} and {:g} mm: what lies on top of a lap ends there",
                      allowance(one_, grade_.base_cell()), allowance(other_, grade_.base_cell()));
    } else if ((finished(one_) && !reaches_under(other_)) || (finished(other_) && !reaches_under(one_))) {
      why = "neither piece reaches under the other: one of the two is a lap";
    }
    if (why.empty()) return;
    StyleFinding finding{"seam treatments", seam_subject(*seam_), 0.0, {}, "mm", {}, true, ""};
    finding.doubtful = true;
    finding.note = fmt::format("{} is {} and {} is {}: {}", named(one_), name_of(here), named(other_),
                               name_of(there), why);
    findings.push_back(std::move(finding));
  }

  // One of two pieces of one forme that lie side by side is stated as lasted where they are sewn.
  [[nodiscard]] bool lasted_in(bool drawn_together) const {
    const bool here = edge(one_).treatment == Treatment::kLasting;
    const bool there = edge(other_).treatment == Treatment::kLasting;
    return (here || there) && grade_.pieces[one_.piece].forme == grade_.pieces[other_.piece].forme &&
           same_layer() && (here != there || drawn_together);
  }
  // Two laps are sewn together where a third piece lies on them.
  [[nodiscard]] bool covered() const { return covered(one_, other_) || covered(other_, one_); }
  // The mates that lie on an edge are so many, with one more, that two of them share a place on it: those of
  // an inside and an outside beside each other do not, of which each has its own half.
  [[nodiscard]] bool covered(const SideOfSeam& whole, const SideOfSeam& part) const {
    int on_top = 0;
    for (const SeamSpec& seam : style_.seams) {
      for (const auto& [here, there] :
           {std::pair{&seam.one, &seam.other}, std::pair{&seam.other, &seam.one}}) {
        if (here->piece != piece(whole).name || here->edge != edge(whole).name) continue;
        const std::optional<SideOfSeam> top = side_of_seam(grade_, *there);
        if (!top || edge(*top).treatment == Treatment::kLap) continue;
        const std::string& layer = piece(*top).layer;
        if (layer.empty() || piece(whole).layer.empty() || layer == piece(whole).layer) on_top += times(*top);
      }
    }
    return on_top > 0 && on_top + times(part) > times(whole);
  }

  // Folded or bound: what it is sewn to lies under it.
  [[nodiscard]] bool finished(const SideOfSeam& side) const {
    return edge(side).treatment == Treatment::kFold || edge(side).treatment == Treatment::kBound;
  }
  [[nodiscard]] bool reaches_under(const SideOfSeam& side) const {
    return !finished(side) &&
           (edge(side).treatment == Treatment::kLap || allowance(side, grade_.base_cell()) > 0.0);
  }

  // A raw edge with an allowance on a lap.
  [[nodiscard]] bool reaches_past(const SideOfSeam& top, const SideOfSeam& under) const {
    return edge(top).treatment == Treatment::kRaw && edge(under).treatment == Treatment::kLap &&
           allowance(top, grade_.base_cell()) > style_.seam_limits.allowances.value() &&
           allowance(under, grade_.base_cell()) > 0.0;
  }

  void stated_twice(std::size_t number) {
    const auto is = [](const SeamSide& a, const SeamSide& b) {
      return a.piece == b.piece && a.edge == b.edge;
    };
    for (std::size_t s = 0; s < number; ++s) {
      const SeamSpec& before = style_.seams[s];
      if ((is(before.one, seam_->one) && is(before.other, seam_->other)) ||
          (is(before.one, seam_->other) && is(before.other, seam_->one))) {
        doubt("seam twice", fmt::format("the seam {} joins the same two edges: one of them is meant for "
                                        "other edges, or is one too many",
                                        before.name));
        return;
      }
    }
  }

  void doubt(const char* check, std::string note) {
    StyleFinding finding{check, seam_subject(*seam_), 0.0, {}, "mm", {}, true, std::move(note)};
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
    } else if (!report.side_by_side && report.drawn_together && cut_alike() &&
               (here == Treatment::kLap || edge(other_).treatment == Treatment::kLap || plain_joint())) {
      doubt(
          "seam hands",
          fmt::format("both pieces lie on one side of the edges they share, {} is {} and {} is {}: if one "
                      "is cut as its mirror image state \"mirrored\": true, for now the ends of the seam are "
                      "judged as of pieces that lie on each other",
                      named(one_), name_of(here), named(other_), name_of(edge(other_).treatment)));
    }
    if (seam_->mirrored && report.against && report.drawn_together) {
      doubt("seam hands",
            "\"mirrored\" says that one piece is cut as its mirror image, and the pieces lie on either side "
            "of the edges they share: leave it out, or check how they are drawn");
    }
  }

  // Both of one stated layer and neither cut double: as an inside and an outside piece are.
  [[nodiscard]] bool cut_alike() const {
    return !piece(one_).layer.empty() && piece(one_).layer == piece(other_).layer && !piece(one_).fold &&
           !piece(other_).fold;
  }
  [[nodiscard]] bool plain_joint() const {
    return edge(one_).treatment == Treatment::kRaw && edge(other_).treatment == Treatment::kRaw;
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
    constexpr std::size_t kMostSums = 1000;  // ten seams of one edge: more has no edge of a shoe
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
        const std::optional<SideOfSeam> mate = side_of_seam(grade_, *there);
        if (!mate || sums.size() > kMostSums) continue;
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
    if (times(more) == times(fewer) && edge(more).treatment != Treatment::kTrim) {
      copies(one_, other_);
      copies(other_, one_);
    }
    if (times(more) == times(fewer) || edge(more).treatment == Treatment::kTrim || can_make_up(more, fewer))
      return;
    if (!counted_.emplace(more.piece, fewer.piece).second) return;
    doubt("seam counts", fmt::format("a pair has {} and {}: check \"per_pair\" (4 for a piece on both sides "
                                     "of a shoe), the fold, and seams that are not stated",
                                     counted(more), counted(fewer)));
  }
  // Both copies of one part, for the inside and the outside, are sewn to one edge: it has to be there for
  // each.
  void copies(const SideOfSeam& whole, const SideOfSeam& part) {
    for (const SeamSpec& seam : style_.seams) {
      for (const auto& [here, there] :
           {std::pair{&seam.one, &seam.other}, std::pair{&seam.other, &seam.one}}) {
        if (here->piece != piece(whole).name || here->edge != edge(whole).name) continue;
        const std::optional<SideOfSeam> mate = side_of_seam(grade_, *there);
        if (!mate || mate->piece == part.piece || piece(*mate).layer.empty() ||
            piece(*mate).layer != piece(part).layer || piece(*mate).fold || piece(part).fold)
          continue;
        const auto path = [&](const SideOfSeam& side) {
          const PreparedPiece& of = grade_.pieces[side.piece];
          return shaped_path(of.shape.edges[side.edge], of.shape.base);
        };
        if (apart(path(*mate), path(part)) > kTogether || !counted_.emplace(whole.piece, part.piece).second)
          continue;
        counted_.emplace(whole.piece, mate->piece);
        doubt("seam counts",
              fmt::format(
                  "{} and {} of {} are drawn on each other, as the inside's and the outside's, and a pair "
                  "has {}: check \"per_pair\" (4 for a piece on both sides of a shoe)",
                  named(part), edge(*mate).name, piece(*mate).name, counted(whole)));
      }
    }
  }
  [[nodiscard]] bool has_rows(const SideOfSeam& side) const {
    return std::isfinite(rows_on(side, 0.0).first);
  }

  std::set<std::pair<std::size_t, std::size_t>> counted_;  // pieces that are told not to be as many
};

}  // namespace

std::vector<StyleFinding> check_mates(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<SeamReport>& reports) {
  MateJudge judge(style, grade);
  for (const SeamReport& report : reports) judge.judge(report);
  return std::move(judge.findings);
}

}  // namespace lastwright
