#include "grading/draft/stated_piece.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/draft/point_names.hpp"

namespace lastwright {

namespace {

// Of every kind, also where there is none: what is added later is noticed as what is rubbed out is.
DrawnMarks marks_drawn(const DraftPiece& piece) {
  const auto count = [&](const std::string& kind) {
    return static_cast<int>(std::count_if(piece.marks.begin(), piece.marks.end(),
                                          [&](const DraftMark& one) { return one.what == kind; }));
  };
  return {count("hole"), count("cut-out"), count("nick"), count("line") + count("closed line")};
}

// What was laid is stated where it is drawn.
Spot stated_corner(const DraftPiece& piece, const DraftCorner& corner) {
  if (!piece.from_drawing) return stated_spot(corner.named_point ? corner.name : "", corner.at);
  const PlaneAffine& motion = *piece.from_drawing;  // its axes are unit vectors, square to each other
  const Vec2 off = corner.at - motion.origin;
  return stated_spot("", {dot(off, motion.x_axis), dot(off, motion.y_axis)});
}

std::string corner_at(const DraftPiece& piece, Vec2 at) {
  return std::min_element(piece.corners.begin(), piece.corners.end(),
                          [&](const DraftCorner& a, const DraftCorner& b) {
                            return distance(a.at, at) < distance(b.at, at);
                          })
      ->name;
}

// 0 for a piece that lies where it is drawn, then in the order of laying.
std::size_t laid_at(const LaidDraft& draft, const DraftPiece& piece) {
  const auto found = std::find_if(draft.order_laid.begin(), draft.order_laid.end(),
                                  [&](std::size_t i) { return &draft.pieces[i] == &piece; });
  return found == draft.order_laid.end() ? 0 : 1 + static_cast<std::size_t>(found - draft.order_laid.begin());
}

// By the longest edge that lies on one of a piece that lies already, else by its corners.
LiesSpec stated_lie(const LaidDraft& draft, const DraftPiece& piece) {
  constexpr double kMostMissed = 0.35;  // mm: what laying allows, and what drawing to a twentieth adds
  LiesSpec lies;
  lies.mirrored = piece.drawn_over;
  double longest = 0.0;
  for (const DraftPiece& other : draft.pieces) {
    if (&other == &piece || other.forme != piece.forme || laid_at(draft, other) >= laid_at(draft, piece))
      continue;
    for (const DraftEdge& edge : piece.edges) {
      for (const DraftEdge& there : other.edges) {
        const Coincide how = coincide(edge, there, kMostMissed);
        if (edge.length <= longest || how == Coincide::kNo) continue;
        longest = edge.length;
        lies.meets = {EdgeMeeting{edge.name, other.name, there.name}};
        // Edges alone meet side by side where both fit.
        if (how == Coincide::kSameWay)
          lies.meets.emplace_back(
              PointMeeting{corner_at(piece, edge.samples.front()),
                           PieceCorner{other.name, corner_at(other, there.samples.front())}});
      }
    }
  }
  if (!lies.meets.empty()) return lies;
  for (const DraftCorner& corner : piece.corners)
    lies.meets.emplace_back(PointMeeting{corner.name, corner.at});
  return lies;
}

}  // namespace

void state_piece(const LaidDraft& draft, const DraftPiece& piece, const DraftCount& count, PieceSpec& spec,
                 std::vector<Proposed>& proposed) {
  const DraftForme& forme = draft.formes[piece.forme];
  spec.forme = forme.name;
  spec.corners.clear();
  spec.edges.clear();
  for (const DraftCorner& corner : piece.corners)
    spec.corners.push_back({corner.name, stated_corner(piece, corner), {}});
  for (std::size_t e = 0; e < piece.edges.size(); ++e) {
    const DraftEdge& edge = piece.edges[e];
    EdgeSpec one;
    one.name = edge.name;
    one.from = piece.from(e).name;
    one.to = piece.to(e).name;
    one.treatment = edge.treatment;
    one.allowance = Millimetres(edge.allowance);
    one.straight = piece.fold == e;
    one.held = edge.held;
    spec.edges.push_back(std::move(one));
  }
  if (piece.from_drawing) spec.lies = stated_lie(draft, piece);
  spec.fold.reset();
  if (piece.own_image) spec.hand = Hand::kSymmetric;
  if (piece.fold) {
    spec.fold = piece.edges[*piece.fold].name;
    spec.hand = Hand::kSymmetric;
  }
  if (forme.kind == DraftKind::kUpper) spec.layer = piece.words.layer;
  spec.drawn_marks = marks_drawn(piece);
  if (!count.asked.empty())
    proposed.push_back(
        {Sureness::kGuess,
         fmt::format("{}: {}. Two are put in: confirm it, or state \"per_pair\"", piece.name, count.asked),
         fmt::format("/pieces/{}", piece.index)});
  if (count.per_pair == 2) return;
  spec.per_pair = count.per_pair;
  if (spec.hand == Hand::kHanded) spec.drawn_foot = "both";
  proposed.push_back({Sureness::kGuess,
                      fmt::format("{}: four for a pair, {}{}", piece.name, count.why,
                                  spec.drawn_foot.empty() ? "" : "; each shoe takes both hands"),
                      fmt::format("/pieces/{}", piece.index)});
}

}  // namespace lastwright
