// Pieces as a draft looks at them: outlines, corners, edges, and what each edge seems to be.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "geometry/curve/outline.hpp"
#include "geometry/io/paper/plane_affine.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/mirror_lines.hpp"
#include "grading/pieces/piece_words.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

enum class EdgeRole { kPlain, kFold, kFeather, kBack, kTopLine, kSeam };

struct DraftCorner {
  Vec2 at;
  std::string name;
  bool named_point = false;  // a point of the forme has this name
};

struct DraftEdge {
  std::vector<Curve> curves;  // from its corner to the next, counter-clockwise
  std::vector<Vec2> samples;  // kDraftSamples + 1 at equal lengths
  double length = 0.0;
  // Its samples, each at the nearest place of the line before it was faired: what edges are compared by.
  std::vector<Vec2> drawn;
  double slack = 0.0;     // mm; as its piece has it
  double faired = 0.0;    // mm; as its piece has it
  bool straight = false;  // all of its samples lie on its chord
  EdgeRole role = EdgeRole::kPlain;
  std::string name;
  Treatment treatment = Treatment::kRaw;
  double allowance = 0.0;
  bool held = false;
};
inline constexpr std::size_t kDraftSamples = 16;

// A hole, nick, line or cut-out that is drawn in a piece, as far as a copy of it must have it too.
struct DraftMark {
  std::string what;   // "hole", to be told
  Vec2 at;            // a place that moves with it
  double size = 0.0;  // mm: its radius, its length or its depth; 0 where the drawing says none
};

struct DraftPiece {
  std::size_t index = 0;  // in the style
  std::string name;
  std::string drawing;
  PieceWords words;
  ClosedOutline outline;
  std::vector<Vec2> polygon;  // kMostPolygon points at most: for judging alone
  Box2 box;                   // of the polygon
  double area = 0.0;
  std::vector<DraftCorner> corners;  // edge i runs from corner i to the next
  std::vector<DraftEdge> edges;
  std::vector<std::pair<Vec2, Vec2>> mirrors;  // the mirror lines that are drawn in it, longest first
  std::vector<double> text_degrees;            // 0 to 180, as it lies
  std::vector<DraftMark> marks;                // where they are drawn
  std::optional<std::size_t> fold;             // index of the edge on it
  Sureness fold_sure = Sureness::kGuess;
  std::string fold_why;
  bool own_image = false;  // drawn whole: its own mirror image in the base line of its forme
  std::size_t forme = 0;
  std::optional<PlaneAffine> from_drawing;  // where it was laid, if it does not lie where it is drawn
  bool drawn_over = false;                  // it is drawn turned over
  double slack = 0.0;                       // mm: what it missed the edge by on which it was laid
  double faired = 0.0;                      // mm: what its curves were faired within
  // Its outline before it was faired, closed; empty: as the outline is. Whether two lines are drawn on each
  // other is judged by these: a faired line may come as near to another that was drawn beside it.
  std::vector<Curve> as_drawn;

  [[nodiscard]] const DraftCorner& from(std::size_t edge) const { return corners[edge]; }
  [[nodiscard]] const DraftCorner& to(std::size_t edge) const { return corners[(edge + 1) % corners.size()]; }
};

// Whose names are taken first where several pieces could give them: uppers before linings, large before
// small, then by name, whatever their order in the drawing. Less is first.
std::tuple<int, long, std::string> naming_rank(const DraftPiece& piece);

inline constexpr std::size_t kMostPolygon = 2000;

// Two places of one drawing nearer than this are one: what is drawn to a twentieth of a millimetre.
inline constexpr double kDraftSame = kOnFold.value();  // mm

// Refuses what is no outline any more: a fault of the program.
Result<DraftPiece> draft_piece(const BoundPiece& bound, std::size_t index, double faired = 0.0,
                               std::vector<Curve> as_drawn = {});

// Cuts the piece's edges anew at these places of its outline, beside the corners it has. Places nearer than
// a corner is snapped by (tolerance::kCornerSnap) to a corner or a joint of its curves that is not that
// place are left out: a style could not state them. False: none was added.
bool add_corners_at(DraftPiece& piece, const std::vector<Vec2>& places, double within = kDraftSame);
// Whether two curves meet so near the place that it could be no corner. A corner there may be.
bool at_another_joint(const DraftPiece& piece, Vec2 place, double within = kDraftSame);
// The same of the joints that its chords had before they were faired: what could not be a corner there is
// none in their curve, so that a drawing has the same corners faired or not. False where it was not faired.
bool at_another_drawn_joint(const DraftPiece& piece, Vec2 place, double within = kDraftSame);
// What lies on one in the drawing lies within this on the other: edges that were drawn alike may be faired
// apart, each by what fairing allows.
double same_within(const DraftPiece& one, const DraftPiece& other);
// The same of the lines as they were drawn.
double drawn_within(const DraftPiece& one, const DraftPiece& other);
// Where a place on the outline was drawn: the nearest place of its line before it was faired.
Vec2 drawn_place(const DraftPiece& piece, Vec2 at);
// Whether the place lies on the line as it was drawn.
bool on_drawn(const DraftPiece& piece, Vec2 place, double within = kDraftSame);
// These and no others, as far as they lie on the outline
// and can be stated. False: none can; it stays as it was.
bool set_corners_at(DraftPiece& piece, const std::vector<Vec2>& places);

// Of a strap, the corners of an end that is drawn in short lines are taken off: of three or more between
// lines shorter than half its width that turn one way by at most 25 degrees. Where its `sides` end it gets
// corners instead. How many were taken off.
std::size_t drop_chord_corners(DraftPiece& strap, const std::vector<Vec2>& sides);

// Whether the place lies on the outline, within kDraftSame.
bool on_outline(const DraftPiece& piece, Vec2 place, double within = kDraftSame);
bool on_edge(const DraftEdge& edge, Vec2 place, double within = kDraftSame);
// Whether one edge lies on the other from end to end as they were drawn, within that and the slack of both.
enum class Coincide { kNo, kSameWay, kAgainst };
Coincide coincide(const DraftEdge& one, const DraftEdge& other, double within = kDraftSame);
// How far they leave each other at most, as they were drawn.
double apart_by(const DraftEdge& one, const DraftEdge& other, Coincide how);
// The lines in which the piece is its own mirror image, within 0.2 mm, from side to side of it: none, one, or
// two that cross each other square.
std::vector<std::pair<Vec2, Vec2>> mirror_axes(const DraftPiece& piece);
// The first of them.
std::optional<std::pair<Vec2, Vec2>> mirror_axis(const DraftPiece& piece);
// The edge on which its mirror lines say that it is cut double.
std::optional<MirroredEdge> mirrored_edge(const DraftPiece& piece);
// The distance of a place from the line through a and b.
double off_line(Vec2 a, Vec2 b, Vec2 place);

}  // namespace lastwright
