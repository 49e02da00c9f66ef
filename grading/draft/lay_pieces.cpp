#include "grading/draft/lay_pieces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "geometry/curve/placed_curve.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/map/point_fit.hpp"
#include "geometry/tolerance.hpp"
#include "grading/draft/piece_groups.hpp"

namespace lastwright {

namespace {

constexpr double kSameLength = 0.3;      // mm, of two edges that were drawn as one
constexpr double kSameCurve = 0.3;       // mm that the one may leave the other once it is laid
constexpr double kShortestMate = 18.0;   // mm: shorter edges fit in too many places
constexpr std::size_t kMostEdges = 400;  // each is compared with each
constexpr double kLeastBow = 1.0;        // mm: straighter edges have no shape to be known by
constexpr double kToldApart = 0.1;       // mm: fits that differ by less cannot be told apart

struct EdgePlacing {
  LaidByEdge laid;
  PlaneAffine motion;
  bool against = true;
  double length = 0.0;
  bool straight = false;
  bool part = false;  // of the edge it lies on
};

class PieceLayer {
 public:
  PieceLayer(std::vector<DraftPiece>& pieces, bool only_tell) : pieces_(pieces), only_tell_(only_tell) {}

  LaidPieces run() {
    std::size_t edges = 0;
    for (const DraftPiece& piece : pieces_) edges += piece.edges.size();
    if (edges > kMostEdges) {
      if (!only_tell_)
        out_.told.push_back(
            fmt::format("nothing is laid: {} edges are more than are compared ({})", edges, kMostEdges));
      return std::move(out_);
    }
    choose_lying();
    while (const std::optional<EdgePlacing> next = best()) {
      apart_.erase(next->laid.piece);
      if (only_tell_) {
        out_.told.push_back(fmt::format(
            "{} could lie on {}, because an edge of {:.1f} mm fits there within {:.2f} mm: --lay lays it so",
            pieces_[next->laid.piece].name, pieces_[next->laid.on].name, next->length, next->laid.residual));
        continue;
      }
      move(*next);
      lying_.push_back(next->laid.piece);
      out_.laid.push_back(next->laid);
    }
    return std::move(out_);
  }

 private:
  // The group with most pieces stays, of equals the largest in
  // area; all single pieces of an upper beside it may move.
  void choose_lying() {
    std::vector<std::vector<std::size_t>> groups = piece_groups(pieces_);
    std::erase_if(groups, [&](const std::vector<std::size_t>& group) {
      return std::any_of(group.begin(), group.end(), [&](std::size_t i) {
        const PartOfShoe part = pieces_[i].words.part;
        return part == PartOfShoe::kBottom || part == PartOfShoe::kOwn ||
               (part == PartOfShoe::kUnknown && sole_shaped(pieces_[i]));
      });
    });
    const auto rank = [&](const std::vector<std::size_t>& group) {
      double area = 0.0;
      for (const std::size_t i : group) area += pieces_[i].area;
      return std::pair(group.size(), area);
    };
    const auto main = std::max_element(groups.begin(), groups.end(),
                                       [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
    if (main == groups.end()) return;
    lying_ = *main;
    for (const auto& group : groups) {
      if (&group != &*main && group.size() == 1) apart_.insert(group.front());
    }
  }

  // The best fit of all; nothing where the two best of a piece contradict each other.
  [[nodiscard]] std::optional<EdgePlacing> best() const {
    std::optional<EdgePlacing> found;
    for (const std::size_t i : apart_) {
      for (const EdgePlacing& one : fits_of(i)) {
        if (!found || better(one, *found)) found = one;
      }
    }
    return found;
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
          const auto add = [&](const std::vector<EdgePlacing>& ways, bool part) {
            if (ways.empty()) return;
            EdgePlacing fit = most_borne(i, ways);
            fit.part = part;
            fit.laid.piece = i;
            fit.laid.edge = e;
            fit.laid.on = k;
            fit.laid.on_edge = f;
            fits.push_back(fit);
          };
          if (std::abs(there.length - edge.length) <= kSameLength) {
            add(fitted(edge, there.samples, kSameCurve), false);
          } else if (there.length > edge.length && bow(edge) >= kLeastBow) {
            // From either end of a longer edge.
            for (const bool first : {true, false})
              add(fitted(edge, part_samples(there, edge.length, first), kDraftSame), true);
          }
        }
      }
    }
    return fits;
  }

  static double bow(const DraftEdge& edge) {
    double most = 0.0;
    for (const Vec2 p : edge.samples)
      most = std::max(most, off_line(edge.samples.front(), edge.samples.back(), p));
    return most;
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

  // An arc fits its like in several ways: the others of its piece's edges say which is meant, where they lie
  // on edges too; of equals the first.
  [[nodiscard]] EdgePlacing most_borne(std::size_t i, const std::vector<EdgePlacing>& ways) const {
    if (ways.size() == 1) return ways.front();
    std::size_t best = 0;
    double most = borne(i, ways.front().motion);
    for (std::size_t w = 1; w < ways.size(); ++w) {
      const double length = borne(i, ways[w].motion);
      if (length <= most + kSameLength) continue;
      most = length;
      best = w;
    }
    return ways[best];
  }
  // mm of the piece's edges that lie on edges of pieces that lie already, were it moved so.
  [[nodiscard]] double borne(std::size_t i, const PlaneAffine& motion) const {
    double sum = 0.0;
    for (const DraftEdge& edge : pieces_[i].edges) {
      std::vector<Vec2> moved;
      for (const Vec2 p : edge.samples) moved.push_back(motion.point(p));
      const auto lies_on = [&](const DraftEdge& there) {
        if (std::abs(there.length - edge.length) > kSameLength) return false;
        double along = 0.0;
        double against = 0.0;
        for (std::size_t s = 0; s <= kDraftSamples; ++s) {
          along = std::max(along, distance(moved[s], there.samples[s]));
          against = std::max(against, distance(moved[s], there.samples[kDraftSamples - s]));
        }
        return std::min(along, against) <= kSameCurve;
      };
      const bool lies = std::any_of(lying_.begin(), lying_.end(), [&](std::size_t k) {
        return std::any_of(pieces_[k].edges.begin(), pieces_[k].edges.end(), lies_on);
      });
      sum += lies ? edge.length : 0.0;
    }
    return sum;
  }

  // Side by side as drawn before all else: then over each other, then turned over. Ways that fit about as
  // well as the best, in this order.
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
      one.against = way.against != way.mirrored;
      one.laid.mirrored = way.mirrored;
      one.laid.residual = fit.worst;
      one.length = edge.length;
      one.straight = edge.straight;
      ways.push_back(one);
    }
    double least = INFINITY;
    for (const EdgePlacing& one : ways) least = std::min(least, one.laid.residual);
    std::erase_if(ways, [&](const EdgePlacing& one) { return one.laid.residual > least + kToldApart; });
    return ways;
  }

  void move(const EdgePlacing& placing) {
    DraftPiece& piece = pieces_[placing.laid.piece];
    RawOutline raw;
    for (const Curve& curve : piece.outline.curves()) raw.curves.push_back(placed(curve, placing.motion));
    Result<ClosedOutline> outline = make_closed_outline(std::move(raw), tolerance::kChainGap);
    invariant(outline.ok(), "an outline stays one where it is moved");
    piece.outline = *std::move(outline);
    std::vector<Vec2> corners;
    for (const DraftCorner& corner : piece.corners) corners.push_back(placing.motion.point(corner.at));
    piece.box = {};
    for (Vec2& p : piece.polygon) {
      p = placing.motion.point(p);
      piece.box.add(p);
    }
    if (piece.mirror)
      piece.mirror = {placing.motion.point(piece.mirror->first), placing.motion.point(piece.mirror->second)};
    piece.text_degrees.clear();  // they say nothing of the forme
    piece.from_drawing = placing.motion;
    piece.drawn_over = placing.laid.mirrored;
    set_corners_at(piece, corners);
    if (placing.part) add_corners_at(pieces_[placing.laid.on], corners);
  }

  std::vector<DraftPiece>& pieces_;
  bool only_tell_;
  std::vector<std::size_t> lying_;
  std::set<std::size_t> apart_;
  LaidPieces out_;
};

}  // namespace

LaidPieces lay_pieces(std::vector<DraftPiece>& pieces, bool only_tell) {
  return PieceLayer(pieces, only_tell).run();
}

}  // namespace lastwright
