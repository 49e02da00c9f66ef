#include "grading/draft/lay_pieces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "geometry/curve/spaced_points.hpp"
#include "geometry/map/point_fit.hpp"
#include "grading/draft/lay_choice.hpp"
#include "grading/draft/laying_starts.hpp"

namespace lastwright {

namespace {

constexpr double kShortestMate = 18.0;      // mm: shorter edges fit in too many places
constexpr std::size_t kMostEdges = 400;     // each is compared with each
constexpr std::size_t kMostStandings = 24;  // each tries every corner as heel and as toe

class PieceLayer {
 public:
  PieceLayer(std::vector<DraftPiece>& pieces, const LayingStart& start, bool only_tell)
      : pieces_(pieces), only_tell_(only_tell), lying_(start.lying), apart_(start.apart) {}

  LaidPieces run() {
    std::size_t edges = 0;
    for (const DraftPiece& piece : pieces_) edges += piece.edges.size();
    if (edges > kMostEdges) {
      if (!only_tell_)
        out_.told.push_back(
            fmt::format("nothing is laid: {} edges are more than are compared ({})", edges, kMostEdges));
      return std::move(out_);
    }
    while (const std::optional<EdgePlacing> next = best()) {
      apart_.erase(next->laid.piece);
      if (only_tell_) {
        out_.told.push_back(fmt::format(
            "{} could lie on {}, because an edge of {:.1f} mm fits there within {:.2f} mm: --lay lays it so",
            pieces_[next->laid.piece].name, pieces_[next->laid.on].name, next->length, next->laid.residual));
        continue;
      }
      // An edge that it lies on a part of ends where it does; what else of it ends on others is met later.
      std::vector<Vec2> corners;
      pieces_[next->laid.piece] = moved_so(pieces_[next->laid.piece], *next);
      const DraftPiece& laid = pieces_[next->laid.piece];
      DraftPiece& on = pieces_[next->laid.on];
      const double within = same_within(laid, on);
      for (const DraftCorner& corner : laid.corners) {
        if (on_edge(on.edges[next->laid.on_edge], corner.at, within)) corners.push_back(corner.at);
      }
      if (next->part) add_corners_at(on, corners, within);
      lying_.push_back(next->laid.piece);
      out_.laid.push_back(next->laid);
    }
    tell_undecided();
    return std::move(out_);
  }

 private:
  // The best fit of all pieces of which the drawing says how they lie; how a piece stands on
  // the forme is asked only where nothing else says it.
  [[nodiscard]] std::optional<EdgePlacing> best() {
    std::optional<EdgePlacing> found;
    std::vector<std::vector<EdgePlacing>> several;
    for (const std::size_t i : apart_) {
      std::vector<EdgePlacing> ways = likeliest_lays(pieces_, lying_, fits_of(i));
      if (ways.size() > 1)
        several.push_back(std::move(ways));
      else if (ways.size() == 1 && (!found || better(ways.front(), *found)))
        found = ways.front();
    }
    for (std::size_t n = 0; n < several.size() && !found && standings_ < kMostStandings; ++n) {
      ++standings_;
      several[n] = best_standing(pieces_, lying_, several[n]);
      if (several[n].size() == 1) found = several[n].front();
    }
    several_ = std::move(several);
    if (found)
      found->laid.shown =
          bow(pieces_[found->laid.piece].edges[found->laid.edge]) >= kLeastBow || found->runs_on >= 1.0;
    return found;
  }

  void tell_undecided() {
    for (const std::vector<EdgePlacing>& ways : several_) {
      std::string all;
      for (std::size_t n = 0; n < ways.size() && n < 4; ++n) {
        const EdgePlacing& one = ways[n];
        all += fmt::format("{}{} on {}, where edges of {:.1f} mm miss each other by {:.3f} mm",
                           n == 0 ? "" : "; ", told_motion(one), pieces_[one.laid.on].name, one.length,
                           one.laid.residual);
      }
      out_.undecided.push_back(
          fmt::format("{} could lie in {} ways, and nothing tells which is meant: {}. It stays where it is "
                      "drawn: draw it "
                      "in its place, or state there how it lies (\"lies\")",
                      pieces_[ways.front().laid.piece].name, ways.size(), all));
    }
  }
  // Bent edges before straight ones, long before short ones, close before loose ones.
  static bool better(const EdgePlacing& one, const EdgePlacing& other) {
    if (one.straight != other.straight) return other.straight;
    return one.laid.residual - 0.01 * one.length < other.laid.residual - 0.01 * other.length;
  }

  [[nodiscard]] std::vector<EdgePlacing> fits_of(std::size_t i) const {
    std::vector<EdgePlacing> fits;
    for (std::size_t e = 0; e < pieces_[i].edges.size(); ++e) {
      const DraftEdge& edge = pieces_[i].edges[e];
      if (edge.length < kShortestMate) continue;
      for (const std::size_t k : lying_) {
        for (std::size_t f = 0; f < pieces_[k].edges.size(); ++f) {
          const DraftEdge& there = pieces_[k].edges[f];
          const auto add = [&](const std::vector<EdgePlacing>& ways, bool part, bool first) {
            for (EdgePlacing fit : ways) {
              fit.part = part;
              fit.at_start = first;
              fit.laid.piece = i;
              fit.laid.edge = e;
              fit.laid.on = k;
              fit.laid.on_edge = f;
              fits.push_back(fit);
            }
          };
          if (std::abs(there.length - edge.length) <= kSameLength) {
            add(fitted(edge, there.samples, kSameCurve), false, true);
          } else if (there.length > edge.length && bow(edge) >= kLeastBow) {
            // From either end of a longer edge.
            for (const bool first : {true, false})
              add(fitted(edge, part_samples(there, edge.length, first), kDraftSame), true, first);
          }
        }
      }
    }
    return fits;
  }

  static std::vector<Vec2> part_samples(const DraftEdge& edge, double length_of_part, bool first) {
    const double share = length_of_part / edge.length;
    std::vector<double> shares{0.0};  // of the whole edge, from its start to its end
    for (std::size_t s = first ? 1 : 0; s < kDraftSamples + (first ? 1 : 0); ++s)
      shares.push_back((first ? 0.0 : 1.0 - share) +
                       share * static_cast<double>(s) / static_cast<double>(kDraftSamples));
    shares.push_back(1.0);
    std::vector<Vec2> points = points_at_shares(edge.curves, shares);
    if (first) {
      points.pop_back();
    } else {
      points.erase(points.begin());
    }
    return points;
  }

  // Side by side and over each other, as it is drawn and turned over.
  static std::vector<EdgePlacing> fitted(const DraftEdge& edge, const std::vector<Vec2>& there, double most) {
    struct Way {
      bool against;
      bool mirrored;
    };
    constexpr std::array<Way, 4> kWays{{{true, false}, {false, false}, {false, true}, {true, true}}};
    std::vector<EdgePlacing> ways;
    for (const Way way : kWays) {
      std::vector<PointOnPoint> pairs;
      for (std::size_t s = 0; s <= kDraftSamples; ++s)
        pairs.push_back({edge.samples[s], there[way.against ? kDraftSamples - s : s]});
      const PointFit fit = fit_points(pairs, way.mirrored);
      if (fit.worst > most) continue;
      EdgePlacing one;
      one.motion = fit.motion;
      // Turned over, an edge is walked the other way.
      one.beside = way.against != way.mirrored;
      one.laid.mirrored = way.mirrored;
      one.laid.residual = fit.worst;
      one.length = edge.length;
      one.straight = edge.straight;
      ways.push_back(one);
    }
    return ways;
  }

  std::vector<DraftPiece>& pieces_;
  bool only_tell_;
  std::vector<std::size_t> lying_;
  std::set<std::size_t> apart_;
  std::vector<std::vector<EdgePlacing>> several_;  // ways that cannot be told apart, a piece each
  std::size_t standings_ = 0;
  LaidPieces out_;
};

}  // namespace

LaidPieces lay_pieces(std::vector<DraftPiece>& pieces, bool only_tell) {
  const LayingStart start = first_start(pieces);
  if (only_tell) return PieceLayer(pieces, start, true).run();
  const std::vector<DraftPiece> drawn = pieces;
  LaidPieces first = PieceLayer(pieces, start, false).run();
  std::size_t edges = 0;
  for (const DraftPiece& piece : pieces) edges += piece.edges.size();
  if (edges > kMostEdges || start.lying.empty() || stands(pieces, start)) return first;
  for (const LayingStart& other : other_starts(drawn, start)) {
    std::vector<DraftPiece> trial = drawn;
    LaidPieces laid = PieceLayer(trial, other, false).run();
    if (laid.laid.size() < first.laid.size() || !stands(trial, other)) continue;
    pieces = std::move(trial);
    return laid;
  }
  return first;
}

}  // namespace lastwright
