#include "grading/redraw/place_votes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/nearest.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

double off_outline(const BoundPiece& piece, Vec2 at) {
  double least = INFINITY;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) least = std::min(least, nearest(curve, at).distance);
  }
  return least;
}

}  // namespace

bool drawn_apart(const PieceSpec& piece) {
  return piece.lies && !piece.lies->as_drawn;
}

void vote_by_laid(const PieceSpec& piece, const FormeSpec& forme, const BoundPiece& before,
                  const BoundPiece& after, const std::function<bool(const std::string&)>& spoken,
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
    votes[pointer].push_back(
        {fmt::format("the outline of {}, which is laid there", piece.name),
         point.at,
         {FoundHow::kSame,
          {},
          fmt::format("that has moved by {:.3f} mm there: say where the place is now", off)}});
  }
}

}  // namespace lastwright
