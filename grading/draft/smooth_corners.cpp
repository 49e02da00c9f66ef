#include "grading/draft/smooth_corners.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

Vec2 joint_near(const DraftPiece& piece, Vec2 place) {
  for (const Curve& curve : piece.outline.curves()) {
    if (distance(start_of(curve), place) < 1.5) return start_of(curve);
  }
  return place;
}

std::vector<Vec2> end_places(const DraftPiece& piece, const DraftFrame& frame) {
  const auto least = [&](double sign) {
    return *std::min_element(piece.polygon.begin(), piece.polygon.end(),
                             [&](Vec2 a, Vec2 b) { return sign * frame.in(a).x < sign * frame.in(b).x; });
  };
  return {joint_near(piece, least(1.0)), joint_near(piece, least(-1.0))};
}

}  // namespace

void set_sole_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes) {
  for (const DraftForme& forme : formes) {
    for (const std::size_t i : forme.pieces) {
      DraftPiece& piece = pieces[i];
      if (forme.kind != DraftKind::kBottom || piece.corners.size() > 1) continue;
      std::vector<Vec2> places;
      if (i == forme.main) {
        for (const char* name : {"heel", "toe", "inside joint", "outside joint"}) {
          if (const auto found = forme.points.find(name); found != forme.points.end())
            places.push_back(found->second);
        }
      } else {
        places = end_places(piece, forme.frame);
      }
      set_corners_at(piece, places);
    }
  }
}

void set_strap_corners(std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                       std::vector<std::string>& guesses, std::vector<Proposed>& proposed) {
  for (const DraftForme& forme : formes) {
    if (!forme.constant_width) continue;
    std::vector<Vec2> places;
    for (const Curve& curve : pieces[forme.main].outline.curves()) {
      if (!std::holds_alternative<Line>(curve) || length(curve) < 0.5 * forme.length) continue;
      places.push_back(start_of(curve));
      places.push_back(end_of(curve));
    }
    DraftPiece& piece = pieces[forme.main];
    const std::size_t dropped = drop_chord_corners(piece, places);
    add_corners_at(piece, places);
    if (dropped == 0) continue;
    std::erase_if(guesses, [&](const std::string& one) {
      return one.starts_with(piece.name + ": ") && one.find("corners turn by less than") != std::string::npos;
    });
    proposed.push_back(
        {Sureness::kLikely,
         fmt::format("{}: what runs round from one side of the strap to the other in short lines is one end: "
                     "{} at which they turn are no corners",
                     piece.name, counted(dropped, "place", "places")),
         fmt::format("/pieces/{}", piece.index)});
  }
}

}  // namespace lastwright
