#include "grading/redraw/place_votes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/nearest.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/place/piece_lie.hpp"

namespace lastwright {

namespace {

double off_outline(const BoundPiece& piece, Vec2 at) {
  double least = INFINITY;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) least = std::min(least, nearest(curve, at).distance);
  }
  return least;
}

// The edge that the place lies on, and the place at the same share of it as the piece is now.
struct OnLaidEdge {
  std::string name;
  Vec2 now;
};
std::optional<OnLaidEdge> same_share(const BoundPiece& before, const BoundPiece& after, Vec2 at) {
  const BoundEdge* on = nullptr;
  double least = INFINITY;
  double share = 0.0;
  for (const BoundEdge& edge : before.edges) {
    std::vector<double> lengths;
    double all = 0.0;
    for (const Curve& curve : edge.chain.curves()) all += lengths.emplace_back(length(curve));
    double reached = 0.0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
      const Curve& curve = edge.chain.curves()[i];
      const NearestPoint here = nearest(curve, at);
      if (here.distance < least) {
        least = here.distance;
        on = &edge;
        const double part = here.t <= 0.0   ? 0.0
                            : here.t >= 1.0 ? lengths[i]
                                            : length(part_of(curve, 0.0, here.t));
        share = (reached + part) / all;
      }
      reached += lengths[i];
    }
  }
  if (on == nullptr) return std::nullopt;
  for (const BoundEdge& edge : after.edges) {
    if (edge.spec.name == on->spec.name)
      return OnLaidEdge{edge.spec.name, points_at_shares(edge.chain.curves(), {share}).front()};
  }
  return std::nullopt;
}

}  // namespace

PlaneAffine as_drawn(const PieceLie& lie) {
  const PlaneAffine motion = motion_of(lie);
  PlaneAffine back;
  back.x_axis = {motion.x_axis.x, motion.y_axis.x};
  back.y_axis = {motion.x_axis.y, motion.y_axis.y};
  back.origin = -back.direction(motion.origin);
  return back;
}

void vote_by_laid(const PieceSpec& piece, const FormeSpec& forme, const BoundPiece& before,
                  const BoundPiece& after, const std::function<bool(const std::string&)>& spoken, bool slide,
                  PlaceVotes& votes) {
  const auto corner_of = [](const BoundPiece& bound, const std::string& name) -> std::optional<Vec2> {
    for (const BoundEdge& edge : bound.edges) {
      if (edge.spec.from == name) return start_of(edge.chain.curves().front());
    }
    return std::nullopt;
  };
  for (const NamedPoint& point : forme.points) {
    const std::string pointer = pointer_to(pointer_to("/formes", piece.forme) + "/points", point.name);
    bool at_corner = false;
    for (const CornerSpec& corner : piece.corners) {
      const auto* named = std::get_if<std::string>(&corner.at);
      const std::optional<Vec2> there = corner_of(before, corner.name);
      const std::optional<Vec2> here = corner_of(after, corner.name);
      if (!there || !here) continue;
      if (named != nullptr ? *named != point.name : distance(*there, point.at) > kSameDrawn) continue;
      at_corner = true;
      if (distance(*there, *here) <= kSameDrawn) continue;
      votes[pointer].push_back({fmt::format("{}, corner {}", piece.name, corner.name),
                                point.at,
                                {FoundHow::kMoved, point.at + (*here - *there), {}}});
    }
    if (at_corner || spoken(pointer)) continue;
    const double off = off_outline(after, point.at);
    if (off_outline(before, point.at) > kOnDrawn || off <= kOnDrawn) continue;
    const std::string from = fmt::format("the outline of {}, which is laid there", piece.name);
    const std::optional<OnLaidEdge> there = same_share(before, after, point.at);
    if (slide && there) {
      votes[pointer].push_back({from, point.at, {FoundHow::kSlid, there->now, {}}});
      continue;
    }
    std::string why = fmt::format("that has moved by {:.3f} mm there", off);
    if (there)
      why += fmt::format(
          "; the same share of its edge {} is at ({:.3f}, {:.3f}) of the forme now, which "
          "--slide takes",
          there->name, there->now.x, there->now.y);
    why += R"(: say where the place is now, or state the point by others of its forme, as {"from": ..., )"
           R"("toward": ..., "distance": ...})";
    votes[pointer].push_back({from, point.at, {FoundHow::kSame, {}, std::move(why)}});
  }
}

}  // namespace lastwright
