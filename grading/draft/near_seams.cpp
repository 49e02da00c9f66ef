#include "grading/draft/near_seams.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "geometry/curve/nearest.hpp"
#include "grading/draft/edge_roles.hpp"

namespace lastwright {

namespace {

struct Beside {
  double apart = 0.0;  // mm at most
  double over = 0.0;   // mm of its length
};

// Where a place of one edge has its nearest on the other, from its start.
struct FootOn {
  double off = INFINITY;
  double along = 0.0;
};
FootOn foot_on(const DraftEdge& edge, Vec2 p) {
  FootOn best;
  double reached = 0.0;
  for (const Curve& curve : edge.curves) {
    const double whole = length(curve);
    const NearestPoint here = nearest(curve, p);
    if (here.distance < best.off) {
      const double part = here.t <= 0.0 ? 0.0 : here.t >= 1.0 ? whole : length(part_of(curve, 0.0, here.t));
      best = {here.distance, reached + part};
    }
    reached += whole;
  }
  return best;
}

// The longest stretch of the first edge that runs along the other within kNearSeam.
std::optional<Beside> beside(const DraftEdge& one, const DraftEdge& other, Coincide how) {
  constexpr double kMost = 0.6;    // of the edge: less has a corner where two edges part
  constexpr double kLeast = 10.0;  // mm
  const double way = how == Coincide::kAgainst ? -1.0 : 1.0;
  Beside best;
  Beside here;
  std::optional<FootOn> last;
  for (const Vec2 p : one.samples) {
    const FootOn foot = foot_on(other, p);
    const bool on = last && foot.off <= kNearSeam && way * (foot.along - last->along) > 0.0;
    here = on ? Beside{std::max(here.apart, foot.off),
                       here.over + one.length / static_cast<double>(kDraftSamples)}
              : Beside{foot.off, 0.0};
    last = foot.off <= kNearSeam ? std::optional(foot) : std::nullopt;
    if (here.over > best.over) best = here;
  }
  if (best.over < kMost * one.length || best.over < kLeast) return std::nullopt;
  return best;
}

bool lining(const DraftPiece& piece) {
  return piece.words.layer == "linings";
}

class NearSeams {
 public:
  NearSeams(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams,
            std::vector<Proposed>& proposed)
      : pieces_(pieces), seams_(seams), proposed_(proposed) {}

  void look(std::size_t i, std::size_t k) {
    const DraftPiece& one = pieces_[i];
    const DraftPiece& other = pieces_[k];
    if (!one.box.grown(kNearSeam).overlaps(other.box)) return;
    for (std::size_t a = 0; a < one.edges.size(); ++a) {
      for (std::size_t b = 0; b < other.edges.size(); ++b) {
        if (may_be_sewn(one.edges[a]) && may_be_sewn(other.edges[b])) look(i, a, k, b);
      }
    }
  }

 private:
  static bool may_be_sewn(const DraftEdge& edge) {
    return edge.role != EdgeRole::kFold && edge.role != EdgeRole::kFeather;
  }

  [[nodiscard]] bool in_seam(std::size_t piece, std::size_t edge, bool mirrored) const {
    return std::any_of(seams_.begin(), seams_.end(), [&](const DraftSeam& seam) {
      return seam.mirrored == mirrored && ((seam.one == piece && seam.one_edge == edge) ||
                                           (seam.other == piece && seam.other_edge == edge));
    });
  }

  // Most of the two outlines runs beside each other on one side, as find_seams asks of backs that are sewn to
  // each other's mirror image.
  [[nodiscard]] static bool nearly_copies(const DraftPiece& one, const DraftPiece& other) {
    return near_copies(one, other, [](const DraftEdge& edge, const DraftEdge& that) {
      const auto along = beside(edge, that, Coincide::kSameWay);
      return along ? along->over : 0.0;
    });
  }

  void look(std::size_t i, std::size_t a, std::size_t k, std::size_t b) {
    const DraftPiece& one = pieces_[i];
    const DraftPiece& other = pieces_[k];
    const DraftEdge& here = one.edges[a];
    const DraftEdge& there = other.edges[b];
    const bool in_one_layer = one.words.layer == other.words.layer || lining(one) == lining(other);
    const bool backs = here.role == EdgeRole::kBack && there.role == EdgeRole::kBack;
    const bool tops = here.role == EdgeRole::kTopLine && there.role == EdgeRole::kTopLine;
    const DraftEdge& shorter = here.length <= there.length ? here : there;
    const DraftEdge& longer = here.length <= there.length ? there : here;
    const auto run = [&](Coincide how) {
      std::optional<Beside> along = beside(shorter, longer, how);
      // They may lie on each other and be shifted along: then it is their ends that are apart.
      const double shifted = apart_by(here, there, how);
      if (along && shifted <= kNearSeam) along->apart = std::max(along->apart, shifted);
      return along;
    };
    std::optional<Beside> found;
    bool mirrored = false;
    if (in_one_layer && !backs && !tops) found = run(Coincide::kAgainst);
    if (!found && backs && !one.fold && !other.fold && one.words.layer == other.words.layer) {
      found = run(Coincide::kSameWay);
      mirrored = found.has_value();
      if (mirrored && !nearly_copies(one, other)) return;
    }
    // From end to end: what is only a part of the other's top line, as a backstrap's, is another piece's
    // edge.
    if (!found && tops && lining(one) != lining(other) &&
        std::abs(here.length - there.length) <= 2.0 * kNearSeam)
      found = run(Coincide::kSameWay);
    const double same = same_within(one, other);
    if (!found || found->apart <= same) return;
    if (in_seam(i, a, mirrored) && in_seam(k, b, mirrored)) return;
    const std::string start =
        fmt::format("no seam of {}, {}, with {}, {}: ", one.name, here.name, other.name, there.name);
    if (std::any_of(proposed_.begin(), proposed_.end(),
                    [&](const Proposed& known) { return known.what.starts_with(start); }))
      return;
    proposed_.push_back(
        {Sureness::kGuess,
         start + fmt::format("the two edges run up to {:.3f} mm apart over {:.0f} mm, and edges are taken as "
                             "sewn together only where they lie within {:.2f} mm of each other; draw one on "
                             "the other, or state the seam, if they are",
                             found->apart, found->over, same),
         edge_pointer(one, a)});
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<DraftSeam>& seams_;
  std::vector<Proposed>& proposed_;
};

}  // namespace

void tell_near_seams(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                     const std::vector<DraftSeam>& seams, std::vector<Proposed>& proposed) {
  NearSeams near(pieces, seams, proposed);
  for (const DraftForme& forme : formes) {
    if (forme.kind != DraftKind::kUpper) continue;
    for (std::size_t i = 0; i < forme.pieces.size(); ++i) {
      for (std::size_t k = i + 1; k < forme.pieces.size(); ++k) near.look(forme.pieces[i], forme.pieces[k]);
    }
  }
}

}  // namespace lastwright
