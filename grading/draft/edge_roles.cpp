#include "grading/draft/edge_roles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "geometry/tolerance.hpp"
#include "grading/draft/cover_fold.hpp"
#include "grading/draft/loose_pieces.hpp"

namespace lastwright {

namespace {

constexpr double kAlongEnvelope = 2.0;  // mm: pieces on one lasting line are drawn as near

class RoleFinder {
 public:
  RoleFinder(std::vector<DraftPiece>& pieces, const DraftForme& forme) : pieces_(pieces), forme_(forme) {}

  void run() {
    find_loose();
    for (const std::size_t i : forme_.pieces) {
      for (DraftEdge& edge : pieces_[i].edges) edge.role = EdgeRole::kPlain;
      pieces_[i].fold.reset();
      find_fold(pieces_[i]);
    }
    if (forme_.kind != DraftKind::kUpper) return;
    for (const std::size_t i : forme_.pieces) {
      around_ = loose_.contains(i) ? &forme_.pieces : &drawn_to_;
      for (DraftEdge& edge : pieces_[i].edges) {
        if (edge.role == EdgeRole::kFold) continue;
        const bool back = along_back(edge);
        // A back that leans is the lowest of all behind the heel.
        if (!(back && rises_high(edge)) && along_lower(edge)) {
          edge.role = EdgeRole::kFeather;
        } else if (back) {
          edge.role = EdgeRole::kBack;
        } else if (along_upper(edge)) {
          edge.role = EdgeRole::kTopLine;
        }
      }
    }
  }

 private:
  void fold_on(DraftPiece& piece, std::size_t e, Sureness sure, std::string why) {
    piece.fold = e;
    piece.edges[e].role = EdgeRole::kFold;
    piece.fold_sure = sure;
    piece.fold_why = std::move(why);
  }

  void find_fold(DraftPiece& piece) {
    if (const std::optional<MirroredEdge> found = mirrored_edge(piece)) {
      if (found->sure) return fold_on(piece, found->edge, Sureness::kSure, "the mirror line is drawn there");
      return fold_on(piece, found->edge, Sureness::kGuess,
                     found->off > kOnFold.value()
                         ? fmt::format("the mirror line lies up to {:.2f} mm off it", found->off)
                         : "one of its mirror lines is drawn there, the longest that lies on an edge");
    }
    if (forme_.kind == DraftKind::kBottom || !piece.mirrors.empty()) return;
    // However many vertices part it: one that does not turn is no end of a fold.
    const auto straight = [&](const DraftEdge& edge) { return edge.straight && is_straight(edge.curves); };
    if (forme_.front.size() == 2) {
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        if (!straight(piece.edges[e]) || piece.edges[e].length < 8.0 || !on_front(piece.edges[e])) continue;
        return fold_on(piece, e, Sureness::kLikely,
                       "the edge is straight and lies on the front line from the toe");
      }
    }
    if (forme_.kind == DraftKind::kUpper && piece.words.stiff) {
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        if (!straight(piece.edges[e]) || !along_back(piece.edges[e], 0.03 * forme_.length)) continue;
        return fold_on(piece, e, Sureness::kLikely, "it stiffens the heel and its back edge is straight");
      }
    }
    if (forme_.kind != DraftKind::kOwn || !heel_cover(piece.name) || !mirror_axes(piece).empty()) return;
    CoverFold cover = cover_fold(piece);
    if (cover.edge) fold_on(piece, *cover.edge, cover.sure, std::move(cover.why));
  }

  [[nodiscard]] bool on_front(const DraftEdge& edge) const {
    return off_line(forme_.front[0], forme_.front[1], edge.samples.front()) <= kDraftSame &&
           off_line(forme_.front[0], forme_.front[1], edge.samples.back()) <= kDraftSame;
  }

  [[nodiscard]] bool along_lower(const DraftEdge& edge) const {
    return std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
      const Vec2 q = forme_.frame.in(p);
      const std::vector<double> heights = heights_at(pieces_, *around_, forme_.frame, q.x);
      return heights.empty() || q.y <= heights.front() + kAlongEnvelope;
    });
  }
  // Not steep: the front of a shaft or of a facing is no top line.
  [[nodiscard]] bool along_upper(const DraftEdge& edge) const {
    const Vec2 way = forme_.frame.in(edge.samples.back()) - forme_.frame.in(edge.samples.front());
    if (std::abs(way.y) > 1.7 * std::abs(way.x)) return false;
    return std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
      const Vec2 q = forme_.frame.in(p);
      const std::vector<double> heights = heights_at(pieces_, *around_, forme_.frame, q.x);
      return heights.empty() || q.y >= heights.back() - kAlongEnvelope;
    });
  }
  // Steep, and nothing lies behind it.
  [[nodiscard]] bool along_back(const DraftEdge& edge, double within = kAlongEnvelope) const {
    const Vec2 way = forme_.frame.in(edge.samples.back()) - forme_.frame.in(edge.samples.front());
    if (std::abs(way.y) < 1.5 * std::abs(way.x)) return false;
    if (forme_.frame.in(edge.samples[kDraftSamples / 2]).x > 0.2 * forme_.length) return false;
    const DraftFrame turned{forme_.frame.origin, forme_.frame.up, forme_.frame.along};
    return std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
      const Vec2 q = turned.in(p);
      const std::vector<double> places = heights_at(pieces_, *around_, turned, q.x);
      return places.empty() || q.y <= places.front() + within;
    });
  }

  // From the heel's height up to where a back top may be.
  [[nodiscard]] bool rises_high(const DraftEdge& edge) const {
    const double from = forme_.frame.in(edge.samples.front()).y;
    const double to = forme_.frame.in(edge.samples.back()).y;
    return std::max(from, to) > 0.12 * forme_.length;
  }

  // What every edge of the other pieces is looked at among.
  void find_loose() {
    loose_ = loose_pieces(pieces_, forme_);
    drawn_to_.clear();
    for (const std::size_t i : forme_.pieces) {
      if (!loose_.contains(i)) drawn_to_.push_back(i);
    }
  }

  std::vector<DraftPiece>& pieces_;
  const DraftForme& forme_;
  std::set<std::size_t> loose_;
  std::vector<std::size_t> drawn_to_;                    // those that are not loose
  const std::vector<std::size_t>* around_ = &drawn_to_;  // what an edge is looked at among
};

// One that may be the top line of an upper over a lining's.
bool open_edge(const DraftEdge& edge) {
  return edge.role == EdgeRole::kPlain || edge.role == EdgeRole::kTopLine;
}

bool lies_under(const DraftPiece& one, const DraftPiece& other) {
  return (one.words.layer == "linings") != (other.words.layer == "linings");
}

// Whether from a corner of one piece on another's edge the one's edges run along the other's, the opposite
// way or the same way.
bool runs_along(const DraftPiece& one, std::size_t corner, const DraftPiece& other, bool same_way) {
  constexpr std::size_t kStep = 2;  // samples from the corner
  const double within = same_within(one, other);
  const double as_drawn = drawn_within(one, other);
  const std::size_t before = (corner + one.edges.size() - 1) % one.edges.size();
  for (const auto& [edge, forward] : {std::pair{corner, true}, {before, false}}) {
    const auto& samples = one.edges[edge].samples;
    const std::size_t step = forward ? kStep : kDraftSamples - kStep;
    const std::size_t less = forward ? 1 : kDraftSamples - 1;
    const Vec2 near = samples[step];
    const Vec2 nearer = samples[less];
    const auto& drawn = one.edges[edge].drawn;
    if (!on_drawn(other, drawn[step], as_drawn) || !on_drawn(other, drawn[less], as_drawn)) continue;
    // Beside each other if the inside of the two lies on opposite sides there.
    const Vec2 way = forward ? near - nearer : nearer - near;
    for (const DraftEdge& there : other.edges) {
      if (!on_edge(there, near, within) || !on_edge(there, nearer, within)) continue;
      for (std::size_t k = 0; k < kDraftSamples; ++k) {
        if (distance(there.samples[k], near) > there.length / kDraftSamples + within) continue;
        const bool against = dot(there.samples[k + 1] - there.samples[k], way) < 0.0;
        if (same_way ? !against && open_edge(there) : against) return true;
      }
    }
  }
  return false;
}

// The line on which the piece is cut double: whatever ends on it, it stays one edge.
std::optional<std::pair<Vec2, Vec2>> fold_line(const DraftPiece& piece) {
  if (!piece.fold) return std::nullopt;
  const DraftEdge& fold = piece.edges[*piece.fold];
  return std::pair(fold.samples.front(), fold.samples.back());
}
bool lies_between(Vec2 a, Vec2 b, Vec2 place, double within) {
  const double along = dot(place - a, unit(b - a));
  return off_line(a, b, place) <= within && along > within && along < distance(a, b) - within;
}

// Whether the piece has no corner there, and could not get one, faired or not.
bool missed_for_joint(const DraftPiece& piece, Vec2 at, double within, double as_drawn) {
  const bool has = std::any_of(piece.corners.begin(), piece.corners.end(), [&](const DraftCorner& one) {
    return distance(one.at, at) <= tolerance::kCornerSnap.value();
  });
  return !has && (at_another_joint(piece, at, within) || at_another_drawn_joint(piece, at, as_drawn));
}
std::string joint_said(const DraftPiece& corner_of, const DraftPiece& on, Vec2 at) {
  return fmt::format(
      "{}: no corner where {} has one on its edge, at ({:.2f}, {:.2f}): a joint of its smooth line lies "
      "within {:g} mm of it, which a corner would go to. What would be sewn there is not taken as a seam",
      on.name, corner_of.name, at.x, at.y, tolerance::kCornerSnap.value());
}

}  // namespace

std::string edge_pointer(const DraftPiece& piece, std::size_t edge) {
  return fmt::format("/pieces/{}/edges/{}", piece.index, edge);
}

std::vector<std::string> meet_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                                      CornersOf how) {
  std::set<std::string> told;
  const bool same_way = how == CornersOf::kOverEachOther;
  std::vector<std::optional<std::pair<Vec2, Vec2>>> folds;
  for (const DraftPiece& piece : pieces) folds.push_back(fold_line(piece));
  for (const DraftForme& forme : formes) {
    const std::set<std::size_t> loose = loose_pieces(pieces, forme);
    bool more = true;
    // Cutting an edge anew takes its role away: what depends on roles is done in one go.
    for (int round = 0; round < (same_way ? 1 : 3) && more; ++round) {
      more = false;
      for (const std::size_t k : forme.pieces) {
        const auto& folds_at = folds[k];
        std::vector<Vec2> places;
        double most_within = kDraftSame;
        for (const std::size_t i : forme.pieces) {
          if (i == k || (same_way && !lies_under(pieces[i], pieces[k]))) continue;
          if (same_way && (loose.contains(i) || loose.contains(k))) continue;
          const double within = same_within(pieces[i], pieces[k]);
          most_within = std::max(most_within, within);
          for (std::size_t c = 0; c < pieces[i].corners.size(); ++c) {
            const Vec2 at = pieces[i].corners[c].at;
            if (folds_at && lies_between(folds_at->first, folds_at->second, at, within)) continue;
            const double as_drawn = drawn_within(pieces[i], pieces[k]);
            if (!on_drawn(pieces[k], drawn_place(pieces[i], at), as_drawn)) continue;
            if (on_outline(pieces[k], at, within) && runs_along(pieces[i], c, pieces[k], same_way)) {
              if (missed_for_joint(pieces[k], at, within, as_drawn)) {
                told.insert(joint_said(pieces[i], pieces[k], at));
              } else {
                places.push_back(at);
              }
            }
          }
        }
        more = add_corners_at(pieces[k], places, most_within) || more;
      }
    }
  }
  return {told.begin(), told.end()};
}

void find_roles(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes) {
  for (const DraftForme& forme : formes) RoleFinder(pieces, forme).run();
}

void tell_roles(const std::vector<DraftPiece>& pieces, std::vector<Proposed>& proposed) {
  for (const DraftPiece& piece : pieces) {
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const DraftEdge& edge = piece.edges[e];
      const char* what = nullptr;
      if (edge.role == EdgeRole::kFeather)
        what = "the feather, because it lies on the lower edge of all pieces";
      if (edge.role == EdgeRole::kBack) what = "a back edge, because it lies hindmost";
      if (edge.role == EdgeRole::kTopLine) what = "a top line, because it lies uppermost";
      const std::string of = fmt::format("{}, {}: ", piece.name, edge.name);
      if (what != nullptr) proposed.push_back({Sureness::kLikely, of + what, edge_pointer(piece, e)});
      if (piece.fold == e)
        proposed.push_back({piece.fold_sure,
                            of + "a fold, and the piece is cut double on it: " + piece.fold_why,
                            edge_pointer(piece, e)});
      if (edge.held)
        proposed.push_back({Sureness::kLikely,
                            of + "keeps its shape in every size, as the end of a strap does",
                            edge_pointer(piece, e)});
    }
  }
}

namespace {

// What is cut as it is finished shows, on the outside.
bool left_raw(const DraftPiece& piece, const DraftEdge& edge) {
  const bool outside = piece.words.layer.empty() || piece.words.layer == "uppers";
  return outside && !piece.words.stiff && edge.role == EdgeRole::kPlain &&
         edge.treatment == Treatment::kRaw && edge.allowance == 0.0;
}

// How far apart two edges run that have both ends in common and face each other.
std::optional<double> nearly_mates(const DraftEdge& one, const DraftEdge& other) {
  constexpr double kNear = 5.0;    // mm, where one is shorter
  constexpr double kAsLong = 0.8;  // of the longer: less is the way round an opening
  if (distance(one.samples.front(), other.samples.back()) > kDraftSame ||
      distance(one.samples.back(), other.samples.front()) > kDraftSame)
    return std::nullopt;
  double off = 0.0;
  for (std::size_t k = 0; k < one.samples.size(); ++k)
    off = std::max(off, distance(one.samples[k], other.samples[one.samples.size() - 1 - k]));
  const bool as_long = std::min(one.length, other.length) >= kAsLong * std::max(one.length, other.length);
  return as_long || off <= kNear ? std::optional(off) : std::nullopt;
}

}  // namespace

void tell_left_raw(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                   std::vector<Proposed>& proposed) {
  for (const DraftForme& forme : formes) {
    if (forme.kind != DraftKind::kUpper) continue;
    for (const std::size_t i : forme.pieces) {
      const DraftPiece& piece = pieces[i];
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        if (!left_raw(piece, piece.edges[e])) continue;
        proposed.push_back({Sureness::kGuess,
                            fmt::format("{}, {}: raw, without an allowance: it lies on no other edge, and is "
                                        "neither feather, back nor top line",
                                        piece.name, piece.edges[e].name),
                            edge_pointer(piece, e)});
        for (const std::size_t k : forme.pieces) {
          if (k <= i) continue;
          for (const DraftEdge& there : pieces[k].edges) {
            if (!left_raw(pieces[k], there)) continue;
            const std::optional<double> off = nearly_mates(piece.edges[e], there);
            if (!off) continue;
            proposed.push_back(
                {Sureness::kGuess,
                 fmt::format("no seam of {}, {}, with {}, {}: their ends meet, and between them "
                             "they run up to {:.1f} mm apart; draw them alike if they are sewn "
                             "together",
                             piece.name, piece.edges[e].name, pieces[k].name, there.name, *off),
                 edge_pointer(piece, e)});
          }
        }
      }
    }
  }
}

}  // namespace lastwright
