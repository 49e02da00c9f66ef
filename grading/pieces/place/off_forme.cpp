#include "grading/pieces/place/off_forme.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

#include "geometry/check/convex_region.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/place/piece_lie.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kChord{0.2};  // for areas only

Polygon polygon_of(const BoundPiece& piece) {
  Polygon polygon;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) {
      const std::vector<Vec2> points = flattened(curve, kChord);
      polygon.insert(polygon.end(), points.begin(), points.end() - 1);
    }
  }
  return polygon;
}

// Two corners on named points hold a piece.
bool held_by_points(const PieceSpec& spec) {
  return std::count_if(spec.corners.begin(), spec.corners.end(), [](const CornerSpec& corner) {
           return std::holds_alternative<std::string>(corner.at);
         }) >= 2;
}

bool has_coordinates(const PieceSpec& spec, const std::string& corner) {
  return std::any_of(spec.corners.begin(), spec.corners.end(), [&](const CornerSpec& one) {
    return one.name == corner && std::holds_alternative<Vec2>(one.at);
  });
}

struct ShownEdge {
  std::size_t piece = 0;
  std::size_t edge = 0;
  std::vector<Vec2> places;
  double length = 0.0;
  double bow = 0.0;
};

class FormeLooker {
 public:
  FormeLooker(const StyleSpec& style, const FormeSpec& forme, const std::vector<BoundPiece>& pieces,
              const OffFormeLimits& limits)
      : style_(style), forme_(forme), pieces_(pieces), limits_(limits) {
    for (std::size_t p = 0; p < pieces.size(); ++p) {
      if (pieces[p].spec.forme == forme.name) own_.push_back(p);
    }
    in_place_.assign(pieces.size(), false);
  }

  void run(OffForme& out) {
    find_shares();
    for (const std::size_t p : own_) {
      if (in_place_[p] && !stated(p)) check_seams(p, out.problems);
      if (in_place_[p]) continue;
      Problem off = off_its_forme(p);
      if (share_[p] < limits_.least_share) {
        out.problems.push_back(std::move(off));
        out.off.push_back(p);
      } else {
        out.notes.push_back(fmt::format("piece {}: {}", pieces_[p].spec.name, off.message));
      }
    }
  }

 private:
  [[nodiscard]] bool stated(std::size_t p) const {
    return pieces_[p].spec.lies.has_value() || held_by_points(pieces_[p].spec);
  }

  // Pieces that are in their place widen what the forme covers for the others.
  void find_shares() {
    share_.assign(pieces_.size(), 1.0);
    Polygon covered;
    for (const NamedPoint& point : forme_.points) covered.push_back(point.at);
    const double grown = limits_.grown * diameter(covered);
    const auto take = [&](std::size_t p) {
      in_place_[p] = true;
      const Polygon polygon = polygon_of(pieces_[p]);
      covered.insert(covered.end(), polygon.begin(), polygon.end());
      covered = convex_hull(std::move(covered));
    };
    for (const std::size_t p : own_) {
      if (stated(p)) take(p);
    }
    for (bool more = true; more;) {
      more = false;
      const Polygon region = grown_hull(covered, grown);
      for (const std::size_t p : own_) {
        if (in_place_[p]) continue;
        const Polygon polygon = polygon_of(pieces_[p]);
        share_[p] = signed_area(clipped(polygon, region)) / signed_area(polygon);
        if (share_[p] < limits_.told_share) continue;
        take(p);
        more = true;
      }
    }
    find_shares_on(grown_hull(covered, grown));
  }

  // Of what is not in its place: a piece of which enough lies in the region, or on another piece that is not
  // refused, is told and no more. Only what it covers itself counts for others: pieces in a row beside their
  // forme would each lie within reach of the one before.
  void find_shares_on(const Polygon& region) {
    std::vector<std::size_t> out;
    for (const std::size_t p : own_) {
      if (!in_place_[p]) out.push_back(p);
    }
    if (out.size() < 2) return;
    std::vector<Polygon> polygons(pieces_.size());
    for (const std::size_t p : out) polygons[p] = polygon_of(pieces_[p]);
    std::vector<bool> told(pieces_.size(), false);
    for (const std::size_t p : out) told[p] = share_[p] >= limits_.least_share;
    for (bool more = true; more;) {
      more = false;
      for (const std::size_t p : out) {
        std::vector<const Polygon*> others;
        for (const std::size_t q : out) {
          if (q != p && told[q]) others.push_back(&polygons[q]);
        }
        share_[p] = std::max(share_[p], share_within(polygons[p], region, others));
        if (told[p] || share_[p] < limits_.least_share) continue;
        told[p] = true;
        more = true;
      }
    }
  }

  // Of a polygon's area, what lies in the region or in any of the others, by places on a grid.
  [[nodiscard]] static double share_within(const Polygon& polygon, const Polygon& region,
                                           const std::vector<const Polygon*>& others) {
    constexpr int kPlaces = 48;  // along either side of its box: a share to about a hundredth
    if (others.empty()) return 0.0;
    Box2 box;
    for (const Vec2 p : polygon) box.add(p);
    int all = 0;
    int within = 0;
    for (int i = 0; i < kPlaces; ++i) {
      for (int k = 0; k < kPlaces; ++k) {
        const Vec2 p{box.low.x + (i + 0.5) / kPlaces * box.width(),
                     box.low.y + (k + 0.5) / kPlaces * box.height()};
        if (!inside_polygon(polygon, p)) continue;
        ++all;
        if (inside_polygon(region, p) || std::any_of(others.begin(), others.end(), [&](const Polygon* other) {
              return inside_polygon(*other, p);
            }))
          ++within;
      }
    }
    return all == 0 ? 0.0 : static_cast<double>(within) / all;
  }

  [[nodiscard]] Problem problem_of(std::size_t p, std::string message) const {
    Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) {
      if (style_.pieces[i].name == pieces_[p].spec.name) problem.place.pointer = pointer_to("/pieces", i);
    }
    return problem.in("piece", pieces_[p].spec.name);
  }

  [[nodiscard]] Problem off_its_forme(std::size_t p) const {
    std::string proposal = by_seams(p);
    if (proposal.empty()) proposal = by_names(p);
    if (proposal.empty()) proposal = by_edges(p);
    Problem problem = problem_of(
        p, fmt::format("lies off its forme: {:.0f} percent of its area is where the points and the other "
                       "pieces of {} are, and a piece is graded where it is drawn. Say in \"lies\" which of "
                       "its corners meet which points{}; \"lies\": \"as drawn\" if this is its place",
                       100.0 * share_[p], forme_.name, proposal.empty() ? "" : ", as in " + proposal));
    problem.value = share_[p];
    problem.limit = limits_.least_share;
    return problem;
  }

  [[nodiscard]] std::size_t index_of(const std::string& name) const {
    for (const std::size_t p : own_) {
      if (pieces_[p].spec.name == name) return p;
    }
    return pieces_.size();
  }

  [[nodiscard]] std::optional<ShownEdge> edge_of(std::size_t p, const std::string& name) const {
    for (std::size_t e = 0; p < pieces_.size() && e < pieces_[p].edges.size(); ++e) {
      const BoundEdge& edge = pieces_[p].edges[e];
      if (edge.spec.name == name && edge.spec.from != edge.spec.to) return shown_edge(p, e);
    }
    return std::nullopt;
  }

  [[nodiscard]] ShownEdge shown_edge(std::size_t p, std::size_t e) const {
    constexpr std::size_t kPlaces = 9;
    ShownEdge shown{p, e, evenly_along(pieces_[p].edges[e].chain, kPlaces), length(pieces_[p].edges[e].chain),
                    0.0};
    const Vec2 along = unit(shown.places.back() - shown.places.front());
    for (const Vec2 place : shown.places)
      shown.bow = std::max(shown.bow, std::abs(cross(along, place - shown.places.front())));
    return shown;
  }

  struct Laid {
    EdgeFit fit;
    bool mirrored = false;
  };
  // As drawn before turned over, unless that is nearer by more than edges of one shape may differ.
  [[nodiscard]] Laid laid(const ShownEdge& moving, const ShownEdge& still) const {
    const EdgeFit plain = fit_edge(moving.places, still.places, false);
    const EdgeFit over = fit_edge(moving.places, still.places, true);
    if (plain.fit.worst <= std::max(limits_.same_shape, over.fit.worst)) return {plain, false};
    return {over, true};
  }
  [[nodiscard]] bool same_length(const ShownEdge& a, const ShownEdge& b) const {
    return std::abs(a.length - b.length) <= 2.0 * limits_.same_shape;
  }
  [[nodiscard]] bool together(const ShownEdge& a, const ShownEdge& b) const {
    const auto apart = [&](bool opposite) {
      double worst = 0.0;
      for (std::size_t k = 0; k < a.places.size(); ++k)
        worst = std::max(worst, distance(a.places[k], b.places[opposite ? b.places.size() - 1 - k : k]));
      return worst;
    };
    return std::min(apart(true), apart(false)) <= limits_.same_place;
  }

  [[nodiscard]] std::string proposed(const ShownEdge& moving, const ShownEdge& still, const Laid& one) const {
    const EdgeSpec& own = pieces_[moving.piece].edges[moving.edge].spec;
    if (!has_coordinates(pieces_[moving.piece].spec, own.from) ||
        !has_coordinates(pieces_[moving.piece].spec, own.to))
      return {};
    const Json on = {{"piece", pieces_[still.piece].spec.name},
                     {"edge", pieces_[still.piece].edges[still.edge].spec.name}};
    Json lies = {{"meets", Json::array({Json{{"edge", own.name}, {"on", on}}})}};
    if (one.mirrored) lies["mirrored"] = true;
    return fmt::format("\"lies\": {}, which fits within {:.3f} mm", lies.dump(), one.fit.fit.worst);
  }

  // The seam sides of a piece with those of its mates on the forme.
  [[nodiscard]] std::vector<std::pair<ShownEdge, ShownEdge>> seams_of(std::size_t p) const {
    std::vector<std::pair<ShownEdge, ShownEdge>> pairs;
    for (const SeamSpec& seam : style_.seams) {
      if (seam.mirrored || seam.one.piece == seam.other.piece) continue;
      for (const auto& [own, other] :
           {std::pair{&seam.one, &seam.other}, std::pair{&seam.other, &seam.one}}) {
        if (own->piece != pieces_[p].spec.name) continue;
        const auto moving = edge_of(p, own->edge);
        const auto still = edge_of(index_of(other->piece), other->edge);
        if (moving && still) pairs.emplace_back(*moving, *still);
      }
    }
    return pairs;
  }

  [[nodiscard]] std::string by_seams(std::size_t p) const {
    for (const auto& [moving, still] : seams_of(p)) {
      if (!in_place_[still.piece] || !same_length(moving, still)) continue;
      const Laid one = laid(moving, still);
      if (one.fit.fit.worst > limits_.same_shape) continue;
      if (std::string text = proposed(moving, still, one); !text.empty()) return text;
    }
    return {};
  }

  // Corners that are named as points of the forme are.
  [[nodiscard]] std::string by_names(std::size_t p) const {
    std::vector<PointOnPoint> pairs;
    Json meets = Json::array();
    for (const BoundEdge& edge : pieces_[p].edges) {
      for (const NamedPoint& point : forme_.points) {
        if (point.name != edge.spec.from || !has_coordinates(pieces_[p].spec, point.name)) continue;
        pairs.push_back({start_of(edge.chain.curves().front()), point.at});
        meets.push_back({{"corner", point.name}, {"on", point.name}});
      }
    }
    if (pairs.size() < 2) return {};
    const PointFit plain = fit_points(pairs, false);
    const PointFit over = fit_points(pairs, true);
    const double limit = LiesSpec{}.limit.value();
    const bool mirrored = plain.worst > limit && over.worst < plain.worst;
    const double worst = mirrored ? over.worst : plain.worst;
    if (worst > limit) return {};
    Json lies = {{"meets", meets}};
    if (mirrored) lies["mirrored"] = true;
    return fmt::format("\"lies\": {}, which fits within {:.3f} mm", lies.dump(), worst);
  }

  // An edge of the same shape as one of a piece that is in its place; the nearest of them.
  [[nodiscard]] std::string by_edges(std::size_t p) const {
    std::string best;
    double nearest = limits_.same_shape;
    for (std::size_t e = 0; e < pieces_[p].edges.size(); ++e) {
      const ShownEdge moving = shown_edge(p, e);
      if (moving.bow < limits_.bow || pieces_[p].edges[e].spec.from == pieces_[p].edges[e].spec.to) continue;
      for (const std::size_t other : own_) {
        for (std::size_t f = 0; in_place_[other] && f < pieces_[other].edges.size(); ++f) {
          const BoundEdge& edge = pieces_[other].edges[f];
          if (edge.spec.from == edge.spec.to) continue;
          const ShownEdge still = shown_edge(other, f);
          if (!same_length(moving, still)) continue;
          const Laid one = laid(moving, still);
          if (one.fit.fit.worst > nearest) continue;
          if (std::string text = proposed(moving, still, one); !text.empty()) {
            best = std::move(text);
            nearest = one.fit.fit.worst;
          }
        }
      }
    }
    return best;
  }

  // A piece that is sewn to others of its forme lies against one of them.
  void check_seams(std::size_t p, std::vector<Problem>& problems) const {
    const auto seams = seams_of(p);
    if (std::any_of(seams.begin(), seams.end(),
                    [&](const auto& seam) { return together(seam.first, seam.second); }))
      return;
    for (const auto& [moving, still] : seams) {
      // Of two that are held by nothing the later one is told to move.
      if (!in_place_[still.piece] || (!stated(still.piece) && still.piece > p)) continue;
      if (std::min(moving.bow, still.bow) < limits_.bow || !same_length(moving, still)) continue;
      const Laid one = laid(moving, still);
      if (one.fit.fit.worst > limits_.same_shape) continue;
      const std::string proposal = proposed(moving, still, one);
      const std::string own = pieces_[p].edges[moving.edge].spec.name;
      double apart = 0.0;
      for (const Vec2 place : moving.places)
        apart = std::max(apart, distance(one.fit.fit.motion.point(place), place));
      Problem problem = problem_of(
          p, fmt::format(
                 "its edge {} and {} of {}, which are sewn together, are of one shape but do not lie on each "
                 "other: one of the two pieces is drawn away from its place on {}. Say in \"lies\" where it "
                 "lies{}; \"lies\": \"as drawn\" if this is its place",
                 own, pieces_[still.piece].edges[still.edge].spec.name, pieces_[still.piece].spec.name,
                 forme_.name, proposal.empty() ? "" : ", as in " + proposal));
      problem.value = apart;
      problem.limit = limits_.same_place;
      problems.push_back(std::move(problem));
      return;
    }
  }

  const StyleSpec& style_;
  const FormeSpec& forme_;
  const std::vector<BoundPiece>& pieces_;
  const OffFormeLimits& limits_;
  std::vector<std::size_t> own_;  // the pieces of this forme
  std::vector<bool> in_place_;    // by piece
  std::vector<double> share_;     // by piece: of its area, where the forme is
};

}  // namespace

OffForme off_forme(const StyleSpec& style, const std::vector<BoundPiece>& pieces,
                   const OffFormeLimits& limits) {
  OffForme out;
  for (const FormeSpec& forme : style.formes) FormeLooker(style, forme, pieces, limits).run(out);
  return out;
}

}  // namespace lastwright
