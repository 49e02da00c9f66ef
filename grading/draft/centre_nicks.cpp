#include "grading/draft/centre_nicks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"
#include "grading/features/nick_path.hpp"

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

// An end of a fold, and the edge beside it.
struct FoldEnd {
  std::size_t edge = 0;
  bool at_end = false;  // the fold's: the edge follows it
  Vec2 centre;
};

std::vector<FoldEnd> fold_ends(const DraftPiece& piece) {
  if (!piece.fold || piece.edges.size() < 3) return {};
  const std::size_t count = piece.edges.size();
  return {{(*piece.fold + count - 1) % count, false, piece.from(*piece.fold).at},
          {(*piece.fold + 1) % count, true, piece.to(*piece.fold).at}};
}

bool can_be_nicked(const DraftPiece& piece, const FoldEnd& end) {
  const DraftEdge& edge = piece.edges[end.edge];
  return edge.allowance >= kLeastAllowance && edge.treatment != Treatment::kFold &&
         edge.treatment != Treatment::kTrim && runs_on(piece.edges[*piece.fold], edge, end.at_end);
}

// Whether what is sewn to the edge has a nick at that place too, or will have one; true where nothing is.
bool mates_nicked(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams,
                  std::size_t piece, const FoldEnd& end) {
  bool sewn = false;
  for (const DraftSeam& seam : seams) {
    const bool one = seam.one == piece && seam.one_edge == end.edge;
    if (!one && (seam.other != piece || seam.other_edge != end.edge)) continue;
    sewn = true;
    const DraftPiece& mate = pieces[one ? seam.other : seam.one];
    const std::size_t mate_edge = one ? seam.other_edge : seam.one_edge;
    if (drawn_near(mate, end.centre, mate.edges[mate_edge].allowance)) return true;
    for (const FoldEnd& there : fold_ends(mate)) {
      if (there.edge == mate_edge && distance(there.centre, end.centre) <= kDraftSame &&
          can_be_nicked(mate, there))
        return true;
    }
  }
  return !sewn;
}

}  // namespace

void tell_drawn_nicks(const std::vector<DraftPiece>& pieces, std::vector<Proposed>& proposed) {
  for (const DraftPiece& piece : pieces) {
    for (const DraftMark& mark : piece.marks) {
      if (mark.what != "nick") continue;
      const Vec2 at = piece.from_drawing ? piece.from_drawing->point(mark.at) : mark.at;
      const auto edge = std::find_if(piece.edges.begin(), piece.edges.end(),
                                     [&](const DraftEdge& one) { return on_edge(one, at); });
      if (edge == piece.edges.end()) continue;
      const double drawn = mark.size > 0.0 ? mark.size : kUsualNick;
      const double made = drawn_nick_depth(drawn, edge->allowance);
      std::string said = mark.size > 0.0 ? fmt::format("{:.3g} mm deep", mark.size)
                                         : fmt::format(
                                               "without a depth (a straight line square to the edge, {:g} to "
                                               "{:g} mm long, has one)",
                                               kLeastDrawnNick, kMostDrawnNick);
      said += fmt::format(", and cut {:.3g} mm deep", made);
      const bool shallower = made < drawn - 1e-9;
      if (shallower) said += ", to end short of the finished edge";
      proposed.push_back({mark.size > 0.0 && !shallower ? Sureness::kSure : Sureness::kGuess,
                          fmt::format("{}, {}{}{}", piece.name, edge->name, kDrawnNickSaid, said),
                          fmt::format("/pieces/{}", piece.index)});
    }
  }
}

void propose_centre_nicks(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams,
                          std::vector<PieceSpec>& specs, std::vector<Proposed>& proposed) {
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    const DraftPiece& piece = pieces[p];
    PieceSpec& spec = specs[piece.index];
    for (const FoldEnd& end : fold_ends(piece)) {
      const DraftEdge& edge = piece.edges[end.edge];
      if (!can_be_nicked(piece, end) || drawn_near(piece, end.centre, edge.allowance) ||
          !mates_nicked(pieces, seams, p, end))
        continue;
      NickWork nick;
      nick.edge = edge.name;
      nick.station.from_end = !end.at_end;  // the fold follows the edge before it
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
