// Which pieces lie on one forme, what part of the last it shows, and how it stands.
//
// Everything is judged by how the pieces lie to each other, so that a drawing that was moved, turned or
// turned over on its sheet gives the same formes.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// Along the base line from the heel, and square to it to the side where the pieces lie.
struct DraftFrame {
  Vec2 origin;
  Vec2 along{1.0, 0.0};
  Vec2 up{0.0, 1.0};
  [[nodiscard]] Vec2 in(Vec2 p) const { return {dot(p - origin, along), dot(p - origin, up)}; }
  [[nodiscard]] Vec2 out(Vec2 q) const { return origin + q.x * along + q.y * up; }
};

enum class DraftKind { kUpper, kBottom, kOwn };

struct DraftForme {
  std::string name;
  DraftKind kind = DraftKind::kOwn;
  std::vector<std::size_t> pieces;  // indices of the draft's pieces
  DraftFrame frame;
  double length = 0.0;  // mm, from the heel along the base line to the stick end; of an own forme its length
  double width = 0.0;   // mm, of an own forme
  bool own_image = false;              // of an own forme: its main piece is drawn whole
  bool constant_width = false;         // of an own forme: a strap
  std::map<std::string, Vec2> points;  // the standing ones: "heel", "toe", "joint"
  std::vector<Vec2> front;             // upper: toe and far end of the straight front line; else empty
  double standing_cost = 0.0;  // of an upper: how little its heel and toe are like one; less is better
  std::string base_from;       // how the base line was found, in words
  Sureness base_sure = Sureness::kLikely;
  std::size_t main = 0;           // the piece that shows most of it: the insole, the only piece
  std::vector<NamedPoint> named;  // what the style will state
};

struct DraftFormes {
  std::vector<DraftForme> formes;
  std::vector<Proposed> proposed;
  std::vector<std::string> warnings;
};

// `stick`: the stick length of the sample where it is known. Each piece gets its forme. `laid`: pieces drawn
// apart were laid already, as far as they can be.
DraftFormes draft_formes(std::vector<DraftPiece>& pieces, std::optional<double> stick, bool laid);

// What the outlines of these pieces cross on the line through
// (x, *) of the frame square to its base, lowest first.
std::vector<double> heights_at(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which,
                               const DraftFrame& frame, double x);

}  // namespace lastwright
