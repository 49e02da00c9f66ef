#include "grading/draft/lay_choice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/placed_curve.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/tolerance.hpp"
#include "grading/draft/standing_upper.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

namespace {

constexpr double kOnePlace = 0.5;        // mm: two motions that differ by less lay a piece at one place
constexpr double kMostOfBends = 0.67;    // of the longest: less of bent edges on bent edges says less
constexpr double kClearlyCloser = 0.02;  // mm, beyond which a fit three times as far is no rival
constexpr double kNoRunOn = 10.0;        // degrees that two edges turn where they do not run on
constexpr double kClearlyOn = 0.5;       // ends of an edge
constexpr double kLeastOn = 0.8;         // ends: with fewer an outline runs on nowhere
constexpr double kClearOfOthers = 0.05;  // of the piece's area
constexpr double kStandsBetter = 0.05;   // of the cost of standing
constexpr std::size_t kMostStood = 6;    // ways
constexpr std::size_t kMostStandCorners = 80;

bool differs_in_layer(const DraftPiece& one, const DraftPiece& other) {
  return one.words.layer != other.words.layer &&
         (one.words.layer == "linings" || one.words.layer == "inner parts" ||
          other.words.layer == "linings" || other.words.layer == "inner parts");
}

class Chooser {
 public:
  Chooser(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& lying)
      : pieces_(pieces), lying_(lying) {}

  std::vector<EdgePlacing> run(std::vector<EdgePlacing> ways) const {
    ways = each_place_once(std::move(ways));
    keep(
        ways, [&](const EdgePlacing& one) { return bends_borne(one); },
        [](double value, double most) { return value >= kMostOfBends * most; });
    double least = INFINITY;
    for (const EdgePlacing& one : ways) least = std::min(least, one.laid.residual);
    std::erase_if(ways, [&](const EdgePlacing& one) {
      return one.laid.residual > std::max(3.0 * least, least + kClearlyCloser);
    });
    for (EdgePlacing& one : ways) one.runs_on = runs_on(one);
    keep(
        ways, [](const EdgePlacing& one) { return one.runs_on; },
        [](double value, double most) { return most < kLeastOn || value >= most - kClearlyOn; });
    keep(
        ways, [&](const EdgePlacing& one) { return -lies_over(one); },
        [](double value, double most) { return -most > kClearOfOthers || value >= most - kClearOfOthers; });
    return ways;
  }

 private:
  template <class Value, class Holds>
  static void keep(std::vector<EdgePlacing>& ways, const Value& value, const Holds& holds) {
    if (ways.size() < 2) return;
    std::vector<double> values;
    for (const EdgePlacing& one : ways) values.push_back(value(one));
    const double most = *std::max_element(values.begin(), values.end());
    std::vector<EdgePlacing> kept;
    for (std::size_t i = 0; i < ways.size(); ++i) {
      if (holds(values[i], most)) kept.push_back(ways[i]);
    }
    ways = std::move(kept);
  }

  // Of ways to one place the bent before the straight edge, the longer, the closer.
  [[nodiscard]] std::vector<EdgePlacing> each_place_once(std::vector<EdgePlacing> ways) const {
    const auto rank = [](const EdgePlacing& one) {
      const double microns = (one.laid.residual - 0.01 * one.length) * 1000.0;
      return std::tuple(one.straight, std::llround(microns), one.laid.mirrored, !one.beside);
    };
    std::stable_sort(ways.begin(), ways.end(),
                     [&](const EdgePlacing& a, const EdgePlacing& b) { return rank(a) < rank(b); });
    std::vector<EdgePlacing> once;
    for (const EdgePlacing& one : ways) {
      const bool there = std::any_of(once.begin(), once.end(),
                                     [&](const EdgePlacing& other) { return at_one_place(one, other); });
      if (!there) once.push_back(one);
    }
    return once;
  }
  // Also a piece that is its own mirror image, turned over.
  [[nodiscard]] bool at_one_place(const EdgePlacing& one, const EdgePlacing& other) const {
    const DraftPiece& piece = pieces_[one.laid.piece];
    const auto back = [&](Vec2 p) {
      const Vec2 off = p - other.motion.origin;
      return Vec2{dot(off, other.motion.x_axis), dot(off, other.motion.y_axis)};
    };
    return std::all_of(piece.edges.begin(), piece.edges.end(), [&](const DraftEdge& edge) {
      return std::all_of(edge.samples.begin(), edge.samples.end(),
                         [&](Vec2 p) { return on_outline(piece, back(one.motion.point(p)), kOnePlace); });
    });
  }

  // mm of the piece's bent edges that lie on edges of pieces that lie already, were it moved so.
  [[nodiscard]] double bends_borne(const EdgePlacing& one) const {
    double sum = 0.0;
    const auto& edges = pieces_[one.laid.piece].edges;
    for (std::size_t e = 0; e < edges.size(); ++e) {
      if (bow(edges[e]) < kLeastBow) continue;
      if (e == one.laid.edge || lies_on_any(edges[e], one.motion)) sum += edges[e].length;
    }
    return sum;
  }
  [[nodiscard]] bool lies_on_any(const DraftEdge& edge, const PlaneAffine& motion) const {
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
    return std::any_of(lying_.begin(), lying_.end(), [&](std::size_t k) {
      return std::any_of(pieces_[k].edges.begin(), pieces_[k].edges.end(), lies_on);
    });
  }

  // The way in which an edge leaves its start or its end. Short curves are chords of a bend.
  static Vec2 leaving(const DraftEdge& edge, bool from_start) {
    constexpr double kTells = 3.0;  // mm
    const Curve& curve = from_start ? edge.curves.front() : edge.curves.back();
    if (length(curve) >= kTells) {
      const Vec2 way = tangent_at(curve, from_start ? 0.0 : 1.0);
      return from_start ? way : -way;
    }
    const double share = std::min(0.5, kTells / edge.length);
    const Vec2 there = points_at_shares(edge.curves, {0.0, from_start ? share : 1.0 - share, 1.0})[1];
    return unit(there - (from_start ? edge.samples.front() : edge.samples.back()));
  }

  // At each end of the edges that meet, what is next to them there runs on: side by side the one's edge into
  // the other's, over each other both the same way.
  [[nodiscard]] double runs_on(const EdgePlacing& one) const {
    const DraftPiece& piece = pieces_[one.laid.piece];
    const DraftPiece& on = pieces_[one.laid.on];
    const DraftEdge& there = on.edges[one.laid.on_edge];
    const auto next = [](const DraftPiece& of, std::size_t edge) {
      return leaving(of.edges[(edge + 1) % of.edges.size()], true);
    };
    const auto before = [](const DraftPiece& of, std::size_t edge) {
      return leaving(of.edges[(edge + of.edges.size() - 1) % of.edges.size()], false);
    };
    double sum = 0.0;
    int ends = 0;
    for (const bool start : {true, false}) {
      if (one.part && start != one.at_start) continue;
      const Vec2 end = start ? there.samples.front() : there.samples.back();
      const DraftEdge& edge = piece.edges[one.laid.edge];
      const bool own_start = distance(one.motion.point(edge.samples.front()), end) <
                             distance(one.motion.point(edge.samples.back()), end);
      const Vec2 own =
          one.motion.direction(own_start ? before(piece, one.laid.edge) : next(piece, one.laid.edge));
      const Vec2 other = start ? before(on, one.laid.on_edge) : next(on, one.laid.on_edge);
      const double turn = std::abs(to_degrees(Radians(angle_between(one.beside ? -own : own, other))));
      sum += std::max(0.0, 1.0 - turn / kNoRunOn);
      ++ends;
    }
    return ends == 0 ? 0.0 : 2.0 * sum / ends;
  }

  // The share of the piece that lies over pieces of its own layer, its like left out.
  [[nodiscard]] double lies_over(const EdgePlacing& one) const {
    constexpr int kGrid = 14;
    const DraftPiece& piece = pieces_[one.laid.piece];
    int inside = 0;
    int over = 0;
    for (int i = 0; i < kGrid; ++i) {
      for (int k = 0; k < kGrid; ++k) {
        const Vec2 p{piece.box.low.x + (i + 0.5) / kGrid * piece.box.width(),
                     piece.box.low.y + (k + 0.5) / kGrid * piece.box.height()};
        if (!inside_polygon(piece.polygon, p)) continue;
        ++inside;
        const Vec2 q = one.motion.point(p);
        over += std::any_of(lying_.begin(), lying_.end(), [&](std::size_t n) {
          return !differs_in_layer(piece, pieces_[n]) && !alike(piece, pieces_[n]) &&
                 inside_polygon(pieces_[n].polygon, q);
        });
      }
    }
    return inside == 0 ? 0.0 : static_cast<double>(over) / inside;
  }
  static bool alike(const DraftPiece& one, const DraftPiece& other) {
    return one.edges.size() == other.edges.size() && std::abs(one.area - other.area) < 0.01 * one.area;
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<std::size_t>& lying_;
};

}  // namespace

double bow(const DraftEdge& edge) {
  double most = 0.0;
  for (const Vec2 p : edge.samples)
    most = std::max(most, off_line(edge.samples.front(), edge.samples.back(), p));
  return most;
}

std::vector<EdgePlacing> likeliest_lays(const std::vector<DraftPiece>& pieces,
                                        const std::vector<std::size_t>& lying,
                                        std::vector<EdgePlacing> ways) {
  return Chooser(pieces, lying).run(std::move(ways));
}

std::vector<EdgePlacing> best_standing(const std::vector<DraftPiece>& pieces,
                                       const std::vector<std::size_t>& lying, std::vector<EdgePlacing> ways) {
  std::size_t corners = 0;
  for (const std::size_t i : lying) corners += pieces[i].corners.size();
  if (ways.size() < 2 || ways.size() > kMostStood || corners > kMostStandCorners) return ways;
  std::vector<double> costs;
  for (const EdgePlacing& one : ways) {
    std::vector<DraftPiece> trial;
    for (const std::size_t i : lying) trial.push_back(pieces[i]);
    trial.push_back(moved_so(pieces[one.laid.piece], one));
    std::vector<std::size_t> all(trial.size());
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
    const auto forme = standing_upper(trial, all, std::nullopt);
    costs.push_back(forme ? forme->standing_cost : 10.0);
  }
  const double least = *std::min_element(costs.begin(), costs.end());
  std::vector<EdgePlacing> kept;
  for (std::size_t i = 0; i < ways.size(); ++i) {
    if (costs[i] <= least + kStandsBetter) kept.push_back(ways[i]);
  }
  return kept;
}

DraftPiece moved_so(const DraftPiece& from, const EdgePlacing& placing) {
  DraftPiece piece = from;
  RawOutline raw;
  for (const Curve& curve : piece.outline.curves()) raw.curves.push_back(placed(curve, placing.motion));
  Result<ClosedOutline> outline = make_closed_outline(std::move(raw), tolerance::kChainGap);
  invariant(outline.ok(), "an outline stays one where it is moved");
  piece.outline = *std::move(outline);
  for (Curve& curve : piece.as_drawn) curve = placed(curve, placing.motion);
  std::vector<Vec2> corners;
  for (const DraftCorner& corner : piece.corners) corners.push_back(placing.motion.point(corner.at));
  piece.box = {};
  for (Vec2& p : piece.polygon) {
    p = placing.motion.point(p);
    piece.box.add(p);
  }
  for (auto& [start, end] : piece.mirrors) {
    start = placing.motion.point(start);
    end = placing.motion.point(end);
  }
  for (double& degrees : piece.text_degrees) {
    const double radians = from_degrees(degrees).value();
    const Vec2 way = placing.motion.direction({std::cos(radians), std::sin(radians)});
    degrees = std::fmod(to_degrees(Radians(std::atan2(way.y, way.x))) + 720.0, 180.0);
  }
  piece.from_drawing = placing.motion;
  piece.drawn_over = placing.laid.mirrored;
  if (placing.laid.residual <= kDraftSame) piece.slack += placing.laid.residual;
  set_corners_at(piece, corners);
  return piece;
}

std::string told_motion(const EdgePlacing& placing) {
  const Vec2 along = placing.laid.mirrored ? -placing.motion.x_axis : placing.motion.x_axis;
  const double degrees = std::round(to_degrees(Radians(angle_between({1.0, 0.0}, along))) * 10.0) / 10.0;
  return fmt::format("{} by {:g} degrees", placing.laid.mirrored ? "turned over and then" : "turned",
                     degrees + 0.0);
}

}  // namespace lastwright
