#include "grading/pieces/first/first_corners.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "geometry/tolerance.hpp"
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

namespace {

// A break of the outline, at the start of a curve.
struct Break {
  std::size_t curve = 0;
  double turn = 0.0;  // radians, to the left positive
};

// The breaks that are taken for corners, so that no edge between two of them is shorter than kShortestEdge.
class CornerChoice {
 public:
  CornerChoice(const std::vector<Curve>& curves, double least) : curves_(curves), least_(least) {
    for (const Curve& curve : curves) lengths_.push_back(length(curve));
    for (std::size_t i = 0; i < curves.size(); ++i) {
      const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
      const double turn = angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0));
      if (std::abs(turn) > least) breaks_.push_back({i, turn});
    }
  }
  [[nodiscard]] const std::vector<Break>& breaks() const { return breaks_; }

  // Joins edges that are too short to their neighbours, the shortest first. A corner takes over the turn of
  // the one that is left out beside it; where the two make up for each other, neither is one.
  void join_short_edges() {
    while (breaks_.size() > 1) {
      std::size_t shortest = 0;
      for (std::size_t i = 1; i < breaks_.size(); ++i) {
        if (edge_length(i) < edge_length(shortest)) shortest = i;
      }
      const double is = edge_length(shortest);
      if (is >= kShortestEdge) return;
      if (joined == 0 || is < least_length) {
        least_length = is;
        at = start_of(curves_[breaks_[shortest].curve]);
      }
      ++joined;
      const std::size_t end = (shortest + 1) % breaks_.size();
      const bool start_goes = joins_the_edge_before(shortest);
      const std::size_t goes = start_goes ? shortest : end;
      const std::size_t stays = start_goes ? end : shortest;
      breaks_[stays].turn += breaks_[goes].turn;
      const bool both = breaks_.size() > 2 && std::abs(breaks_[stays].turn) <= least_;
      for (const std::size_t one : {std::max(goes, stays), std::min(goes, stays)}) {
        if (one == goes || both) breaks_.erase(breaks_.begin() + static_cast<std::ptrdiff_t>(one));
      }
    }
  }
  std::size_t joined = 0;
  double least_length = 0.0;
  Vec2 at;  // of the shortest of them

 private:
  [[nodiscard]] std::size_t curves_of(std::size_t edge) const {
    const std::size_t from = breaks_[edge].curve;
    const std::size_t to = breaks_[(edge + 1) % breaks_.size()].curve;
    return to > from ? to - from : to + curves_.size() - from;
  }
  [[nodiscard]] double edge_length(std::size_t edge) const {
    double sum = 0.0;
    for (std::size_t k = 0; k < curves_of(edge); ++k)
      sum += lengths_[(breaks_[edge].curve + k) % curves_.size()];
    return sum;
  }
  // One straight line, which may be a fold: it stays one.
  [[nodiscard]] bool is_line(std::size_t edge) const {
    return curves_of(edge) == 1 && std::holds_alternative<Line>(curves_[breaks_[edge].curve]);
  }
  [[nodiscard]] bool joins_the_edge_before(std::size_t edge) const {
    constexpr double kAlike = 1e-6;  // radians: a corner cut off evenly
    const std::size_t count = breaks_.size();
    const std::size_t before = (edge + count - 1) % count;
    const std::size_t after = (edge + 1) % count;
    if (is_line(before) != is_line(after)) return is_line(after);
    const double here = std::abs(breaks_[edge].turn);
    const double there = std::abs(breaks_[after].turn);
    if (std::abs(here - there) > kAlike) return here < there;
    return edge_length(before) < edge_length(after);
  }

  const std::vector<Curve>& curves_;
  double least_;
  std::vector<double> lengths_;
  std::vector<Break> breaks_;
};

}  // namespace

void add_corners(const ClosedOutline& outline, Radians least, PieceSpec& piece,
                 std::vector<std::string>& guesses) {
  const auto& curves = outline.curves();
  CornerChoice choice(curves, least.value());
  const std::size_t breaks = choice.breaks().size();
  const bool digitised = breaks > kMostCorners;
  if (!digitised) choice.join_short_edges();
  std::vector<Vec2> corners;
  std::size_t shallow = 0;
  for (const Break& one : choice.breaks()) {
    corners.push_back(start_of(curves[one.curve]));
    if (std::abs(one.turn) < from_degrees(kShallowDegrees).value()) ++shallow;
  }
  tell_shallow(piece.name, corners.size(), shallow, guesses);
  if (choice.joined > 0)
    guesses.push_back(fmt::format(
        "{}: {} of its outline shorter than {:g} mm, between two breaks, {} to the edge beside, {:.3f} mm at "
        "({:.3f}, {:.3f}){}: taken for two vertices of one corner",
        piece.name, counted(choice.joined, "stretch", "stretches"), kShortestEdge,
        choice.joined == 1 ? "goes" : "go", choice.least_length, choice.at.x, choice.at.y,
        choice.joined == 1 ? "" : " the shortest"));
  if (digitised) {
    guesses.push_back(
        fmt::format("{}: {} breaks of its outline look like a digitised curve, not corners: one corner "
                    "taken; --corner-angle sets "
                    "from how many degrees on a break is a corner",
                    piece.name, breaks));
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
