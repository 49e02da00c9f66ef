#include "grading/pieces/first_corners.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <utility>

#include "grading/pieces/mirror_lines.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostCorners = 60;  // more are a digitised curve, not corners
constexpr double kShallowDegrees = 20.0;  // corners of a pattern turn by more

void tell_shallow(const std::string& piece, std::size_t corners, std::size_t shallow,
                  std::vector<std::string>& guesses) {
  constexpr std::size_t kSome = 6;
  if (shallow < kSome) return;
  guesses.push_back(fmt::format(
      "{}: {} of its {} corners turn by less than {:g} degrees; if they are a curve drawn in short lines, "
      "--corner-angle {:g} makes one edge of it",
      piece, shallow, corners, kShallowDegrees, kShallowDegrees));
}

}  // namespace

Vec2 style_place(Vec2 p) {
  constexpr double kPerMillimetre = 1e4;  // a style file holds four decimals
  return {std::round(p.x * kPerMillimetre) / kPerMillimetre,
          std::round(p.y * kPerMillimetre) / kPerMillimetre};
}

void add_corners(const ClosedOutline& outline, Radians least, PieceSpec& piece,
                 std::vector<std::string>& guesses) {
  const auto& curves = outline.curves();
  std::vector<Vec2> corners;
  std::size_t shallow = 0;
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
    const double turn = angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0));
    if (std::abs(turn) > least.value()) {
      corners.push_back(start_of(curves[i]));
      if (std::abs(turn) < from_degrees(kShallowDegrees).value()) ++shallow;
    }
  }
  tell_shallow(piece.name, corners.size(), shallow, guesses);
  if (corners.size() > kMostCorners) {
    guesses.push_back(
        fmt::format("{}: {} breaks of its outline look like a digitised curve, not corners: one corner "
                    "taken; --corner-angle sets "
                    "from how many degrees on a break is a corner",
                    piece.name, corners.size()));
    corners.clear();
  }
  if (corners.empty()) corners.push_back(start_of(curves.front()));
  for (std::size_t i = 0; i < corners.size(); ++i) {
    piece.corners.push_back({fmt::format("c{}", i + 1), style_place(corners[i])});
  }
  for (std::size_t i = 0; i < corners.size(); ++i) {
    EdgeSpec edge;
    edge.name = fmt::format("e{}", i + 1);
    edge.from = piece.corners[i].name;
    edge.to = piece.corners[(i + 1) % corners.size()].name;
    piece.edges.push_back(std::move(edge));
  }
}

void find_fold(const BoundPiece& bound, PieceSpec& piece, std::vector<std::string>& guesses) {
  const std::optional<MirroredEdge> found = mirrored_edge(bound);
  if (!found) return;
  EdgeSpec& edge = piece.edges[found->edge];
  piece.fold = edge.name;
  edge.straight = true;
  guesses.push_back(
      fmt::format("{} is cut double on its edge {}: the mirror line lies there", piece.name, edge.name));
  if (found->off > kOnFold.value()) guesses.back() += fmt::format(", up to {:.2f} mm off it", found->off);
}

}  // namespace lastwright
