#include "grading/pieces/place/piece_lie.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/curve/nearest.hpp"
#include "geometry/curve/placed_curve.hpp"
#include "geometry/tolerance.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "grading/pieces/net/net_recovery.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kPlacesOfEdge = 9;
constexpr double kLeastPlaceSpread = 1.0;  // mm: with places closer together a turn is a guess
constexpr double kAsNear = 1e-6;           // mm: two ways round that differ by less are equally near

Problem lie_refused(std::string message, std::string pointer) {
  Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
  problem.place.pointer = "/lies" + pointer;
  return problem;
}

PlaneAffine turned_over() {
  return {{-1.0, 0.0}, {0.0, 1.0}, {}};
}

// A place on the outline, from coordinates read off a drawing: as the corners of pieces are found.
Result<Vec2> on_outline(const ClosedOutline& outline, Vec2 wanted, const std::string& pointer) {
  Vec2 vertex = start_of(outline.curves().front());
  for (const Curve& curve : outline.curves()) {
    if (distance(start_of(curve), wanted) < distance(vertex, wanted)) vertex = start_of(curve);
  }
  const double limit = tolerance::kCornerSnap.value();
  const double off = distance(vertex, wanted);
  if (off <= limit) return vertex;
  std::optional<Vec2> best;
  double best_distance = limit;
  for (const Curve& curve : outline.curves()) {
    const NearestPoint here = nearest(curve, wanted);
    if (here.distance > best_distance) continue;
    best = here.at;
    best_distance = here.distance;
  }
  if (best) return *best;
  Problem problem = lie_refused(
      fmt::format(
          "the place ({:.3f}, {:.3f}) is not on the outline as drawn; its nearest vertex is ({:.3f}, {:.3f})",
          wanted.x, wanted.y, vertex.x, vertex.y),
      pointer);
  problem.value = off;
  problem.limit = limit;
  return problem;
}

class LieFinder {
 public:
  LieFinder(const PieceSpec& spec, const FormeSpec& forme, const ClosedOutline& drawn,
            const PiecesByName& lying, std::span<const Millimetres> allowances)
      : spec_(spec),
        forme_(forme),
        drawn_(drawn),
        lying_(lying),
        allowances_(allowances),
        over_(spec.lies->mirrored ? turned_over() : PlaneAffine{}) {}

  Result<FoundLie> run() {
    if (spec_.drawn == Drawn::kCut && !allowances_.empty()) {
      if (Status recovered = recover(); !recovered) return recovered.problem();
    }
    const LiesSpec& lies = *spec_.lies;
    for (std::size_t i = 0; i < lies.meets.size(); ++i) {
      const auto* point = std::get_if<PointMeeting>(&lies.meets[i]);
      if (point == nullptr) continue;
      if (Status added = add(*point, pointer_to("/meets", i)); !added) return added.problem();
    }
    for (std::size_t i = 0; i < lies.meets.size(); ++i) {
      const auto* edge = std::get_if<EdgeMeeting>(&lies.meets[i]);
      if (edge == nullptr) continue;
      if (Status added = add(*edge, pointer_to("/meets", i)); !added) return added.problem();
    }
    const PointFit fit = fit_points(pairs_, lies.mirrored);
    if (!(fit.spread > kLeastPlaceSpread))
      return lie_refused(
          "the places that meet are so close together that they do not tell how the piece is turned",
          "/meets");
    if (!(fit.worst <= lies.limit.value())) return misses(fit);
    FoundLie found{fit.motion, {}};
    const Vec2 along = lies.mirrored ? -fit.motion.x_axis : fit.motion.x_axis;
    found.lie.turn = to_degrees(Radians(angle_between({1.0, 0.0}, along)));
    found.lie.mirrored = lies.mirrored;
    found.lie.shift = fit.motion.origin;
    found.lie.worst = fit.worst;
    found.lie.places = pairs_.size();
    return found;
  }

 private:
  void add(Vec2 moving, Vec2 still, std::string name) {
    pairs_.push_back({moving, still});
    names_.push_back(std::move(name));
  }

  Status add(const PointMeeting& one, const std::string& pointer) {
    std::string name;
    Vec2 wanted;
    if (const auto* corner = std::get_if<std::string>(&one.drawn)) {
      wanted = corner_at(*corner);
      name = "the corner " + *corner;
    } else {
      wanted = std::get<Vec2>(one.drawn);
      name = fmt::format("the place ({:.3f}, {:.3f})", wanted.x, wanted.y);
    }
    Result<Vec2> drawn = on_outline(drawn_, wanted, pointer);
    for (const BoundEdge& edge : net_) {
      const auto* corner = std::get_if<std::string>(&one.drawn);
      if (corner != nullptr && edge.spec.from == *corner)
        drawn = over_.point(start_of(edge.chain.curves().front()));
    }
    if (!drawn) return drawn.problem();
    add(*drawn, target(one), std::move(name));
    return Done{};
  }

  Status add(const EdgeMeeting& one, const std::string& pointer) {
    const Result<std::vector<Vec2>> own = own_edge(one.edge);
    if (!own) {
      Problem problem = own.problem();
      problem.place.pointer = "/lies" + pointer + "/edge";
      return problem;
    }
    std::vector<Vec2> still;
    for (const BoundEdge& edge : lying_.at(one.piece)->edges) {
      if (edge.spec.name == one.on) still = evenly_along(edge.chain, kPlacesOfEdge);
    }
    invariant(!still.empty(), "an edge that is met exists");
    // Together with what is there already, whichever way round is nearer.
    const auto with = [&](bool opposite) {
      std::vector<PointOnPoint> all = pairs_;
      for (std::size_t k = 0; k < still.size(); ++k)
        all.push_back({(*own)[k], still[opposite ? still.size() - 1 - k : k]});
      return all;
    };
    const double opposite = fit_points(with(true), spec_.lies->mirrored).worst;
    const double same = fit_points(with(false), spec_.lies->mirrored).worst;
    pairs_ = with(opposite <= same + kAsNear);
    names_.resize(pairs_.size(), "the edge " + one.edge);
    return Done{};
  }

  [[nodiscard]] Vec2 corner_at(const std::string& name) const {
    for (const CornerSpec& corner : spec_.corners) {
      if (corner.name == name) return std::get<Vec2>(corner.at);
    }
    invariant(false, "a corner that lies somewhere is given by coordinates");
    return {};
  }

  [[nodiscard]] Vec2 target(const PointMeeting& one) const {
    if (const auto* at = std::get_if<Vec2>(&one.on)) return *at;
    if (const auto* name = std::get_if<std::string>(&one.on)) {
      for (const NamedPoint& point : forme_.points) {
        if (point.name == *name) return point.at;
      }
    } else {
      const auto& corner = std::get<PieceCorner>(one.on);
      for (const BoundEdge& edge : lying_.at(corner.piece)->edges) {
        if (edge.spec.from == corner.corner) return start_of(edge.chain.curves().front());
      }
    }
    invariant(false, "what a piece lies on exists");
    return {};
  }

  // Once it is turned over it is walked as the piece lies, counter-clockwise.
  [[nodiscard]] Result<ClosedOutline> outline_as_it_lies() const {
    RawOutline raw;
    for (const Curve& curve : drawn_.curves()) raw.curves.push_back(placed(curve, over_));
    return make_closed_outline(std::move(raw), tolerance::kSamePoint);
  }

  // Corners and edges of a piece drawn cut are those of its net line, here as everywhere.
  Status recover() {
    const Result<ClosedOutline> outline = outline_as_it_lies();
    if (!outline) return outline.problem();
    BoundPiece piece;
    piece.spec = moved(spec_, over_);
    const Result<SplitOutline> split = split_outline(*outline, piece.spec, forme_);
    if (!split) return split.problem();
    piece.edges = split->edges;
    if (Status recovered = recover_net(piece, allowances_); !recovered) return recovered;
    net_ = std::move(piece.edges);
    return Done{};
  }

  // As drawn.
  Result<std::vector<Vec2>> own_edge(const std::string& name) const {
    std::vector<BoundEdge> edges = net_;
    if (edges.empty()) {
      const auto edge = std::find_if(spec_.edges.begin(), spec_.edges.end(),
                                     [&](const EdgeSpec& one) { return one.name == name; });
      invariant(edge != spec_.edges.end(), "an edge that lies somewhere exists");
      const Result<ClosedOutline> outline = outline_as_it_lies();
      if (!outline) return outline.problem();
      PieceSpec two = spec_;
      two.corners = {{edge->from, over_.point(corner_at(edge->from))},
                     {edge->to, over_.point(corner_at(edge->to))}};
      two.edges = {*edge, {"the rest", edge->to, edge->from}};
      const Result<SplitOutline> split = split_outline(*outline, two, forme_);
      if (!split) return split.problem();
      edges = split->edges;
    }
    const auto found =
        std::find_if(edges.begin(), edges.end(), [&](const BoundEdge& one) { return one.spec.name == name; });
    invariant(found != edges.end(), "an edge that lies somewhere exists");
    std::vector<Vec2> places = evenly_along(found->chain, kPlacesOfEdge);
    for (Vec2& place : places) place = over_.point(place);
    return places;
  }

  [[nodiscard]] Problem misses(const PointFit& fit) const {
    std::size_t worst = 0;
    const auto miss = [&](std::size_t i) {
      return distance(fit.motion.point(pairs_[i].moving), pairs_[i].still);
    };
    for (std::size_t i = 1; i < pairs_.size(); ++i) {
      if (miss(i) > miss(worst)) worst = i;
    }
    const Vec2 at = pairs_[worst].still;
    std::string message =
        fmt::format("laid as nearly as it goes, {} still misses ({:.3f}, {:.3f}), which it is to meet",
                    names_[worst], at.x, at.y);
    const double other = fit_points(pairs_, !spec_.lies->mirrored).worst;
    if (pairs_.size() > 2 && other <= spec_.lies->limit.value()) {
      message += spec_.lies->mirrored
                     ? fmt::format("; not mirrored it meets within {:.3f} mm", other)
                     : fmt::format("; with \"mirrored\": true it meets within {:.3f} mm", other);
    } else {
      message +=
          "; what is drawn is of another size or shape than what it is to meet, or a name or figure is "
          "wrong; "
          "\"limit\" says how far it may miss";
    }
    Problem problem = lie_refused(std::move(message), "/meets");
    problem.value = fit.worst;
    problem.limit = spec_.lies->limit.value();
    return problem;
  }

  const PieceSpec& spec_;
  const FormeSpec& forme_;
  const ClosedOutline& drawn_;
  const PiecesByName& lying_;
  std::span<const Millimetres> allowances_;
  PlaneAffine over_;            // its own inverse
  std::vector<BoundEdge> net_;  // of a piece drawn cut: its net line where it is drawn, turned over
  std::vector<PointOnPoint> pairs_;
  std::vector<std::string> names_;  // of the pairs
};

}  // namespace

Result<FoundLie> find_lie(const PieceSpec& spec, const FormeSpec& forme, const ClosedOutline& drawn,
                          const PiecesByName& lying, std::span<const Millimetres> allowances) {
  return LieFinder(spec, forme, drawn, lying, allowances).run();
}

std::vector<Vec2> evenly_along(const OpenChain& chain, std::size_t count) {
  constexpr Millimetres kError{1e-10};  // so that a moved edge gives the moved places
  std::vector<double> lengths;
  double whole = 0.0;
  for (const Curve& curve : chain.curves()) {
    lengths.push_back(length(curve, kError));
    whole += lengths.back();
  }
  std::vector<Vec2> places{start_of(chain.curves().front())};
  std::size_t c = 0;
  double before = 0.0;
  for (std::size_t k = 1; k + 1 < count; ++k) {
    const double wanted = whole * static_cast<double>(k) / static_cast<double>(count - 1);
    while (c + 1 < lengths.size() && before + lengths[c] < wanted) before += lengths[c++];
    const Curve& curve = chain.curves()[c];
    double low = 0.0;
    double high = 1.0;
    if (!std::holds_alternative<Spline>(curve)) {
      low = high = std::clamp((wanted - before) / lengths[c], 0.0, 1.0);
    }
    while (high - low > 1e-13) {
      const double middle = 0.5 * (low + high);
      (length(part_of(curve, 0.0, middle), kError) < wanted - before ? low : high) = middle;
    }
    places.push_back(point_at(curve, 0.5 * (low + high)));
  }
  places.push_back(end_of(chain.curves().back()));
  return places;
}

EdgeFit fit_edge(const std::vector<Vec2>& moving, const std::vector<Vec2>& still, bool mirrored) {
  const auto fit = [&](bool opposite) {
    std::vector<PointOnPoint> pairs;
    for (std::size_t k = 0; k < moving.size(); ++k)
      pairs.push_back({moving[k], still[opposite ? still.size() - 1 - k : k]});
    return fit_points(pairs, mirrored);
  };
  const PointFit opposite = fit(true);
  const PointFit same = fit(false);
  if (opposite.worst <= same.worst + kAsNear) return {opposite, true};
  return {same, false};
}

}  // namespace lastwright
