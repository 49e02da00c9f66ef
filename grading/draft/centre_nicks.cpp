#include "grading/draft/centre_nicks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

constexpr double kLeastAllowance = 2.0;  // mm: what a nick of 1 mm leaves of it holds a seam
constexpr double kNearby = 2.0;          // mm, beyond the allowance: a nick drawn so near is the centre's
// A graded edge may turn a little more than the drawn one: well below a corner (tolerance::kCorner).
constexpr double kMostTurn = 0.5 * tolerance::kCorner.value();

// Half the allowance, in half millimetres, 3 mm at most.
double depth_in(double allowance) {
  return std::min(3.0, std::floor(allowance) / 2.0);
}

bool drawn_near(const DraftPiece& piece, Vec2 centre, double allowance) {
  return std::any_of(piece.marks.begin(), piece.marks.end(), [&](const DraftMark& mark) {
    return mark.what == "nick" && distance(mark.at, centre) < allowance + kNearby;
  });
}

// The unfolded outline runs on there without a corner: the edge leaves the fold square to it.
bool runs_on(const DraftEdge& fold, const DraftEdge& edge, bool at_end) {
  const Vec2 along = unit(fold.samples.back() - fold.samples.front());
  const Curve& curve = at_end ? edge.curves.front() : edge.curves.back();
  const Vec2 leaving = tangent_at(curve, at_end ? 0.0 : 1.0);
  return std::abs(dot(along, leaving)) < std::sin(0.5 * kMostTurn);
}

}  // namespace

void propose_centre_nicks(const std::vector<DraftPiece>& pieces, std::vector<PieceSpec>& specs,
                          std::vector<Proposed>& proposed) {
  for (const DraftPiece& piece : pieces) {
    if (!piece.fold || piece.edges.size() < 3) continue;
    PieceSpec& spec = specs[piece.index];
    const std::size_t count = piece.edges.size();
    const std::size_t next = (*piece.fold + 1) % count;
    const std::size_t before = (*piece.fold + count - 1) % count;
    for (const bool at_end : {false, true}) {
      const std::size_t e = at_end ? next : before;
      const DraftEdge& edge = piece.edges[e];
      const DraftCorner& centre = at_end ? piece.to(*piece.fold) : piece.from(*piece.fold);
      if (edge.allowance < kLeastAllowance || edge.treatment == Treatment::kFold ||
          edge.treatment == Treatment::kTrim || drawn_near(piece, centre.at, edge.allowance) ||
          !runs_on(piece.edges[*piece.fold], edge, at_end))
        continue;
      NickWork nick;
      nick.edge = edge.name;
      nick.station.from_end = !at_end;  // the fold follows the edge before it
      nick.shape.depth = Millimetres(depth_in(edge.allowance));
      proposed.push_back({Sureness::kGuess,
                          fmt::format("{}: a nick at the centre of {}, {:g} mm deep, common practice",
                                      piece.name, edge.name, depth_in(edge.allowance)),
                          fmt::format("/pieces/{}/features/{}", piece.index, spec.features.size())});
      spec.features.push_back({"centre of " + edge.name, nick, {}});
    }
  }
}

}  // namespace lastwright
