// Pieces side by side on rolls or on sheets, each with its grain along.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "geometry/io/die_drawing.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// One piece to be cut: `mirrored` for the other foot.
struct LaidPiece {
  std::size_t piece = 0;
  std::size_t cell = 0;
  bool mirrored = false;
};

// The pieces of so many pairs in each cell, hands in turn; with 0 pairs each piece once, as it is drawn.
std::vector<LaidPiece> pieces_of_pairs(const StyleGrade& grade, const std::vector<std::size_t>& pieces,
                                       const std::vector<std::size_t>& cells, int pairs);

// What pieces are cut from.
struct PieceBed {
  double width = 0.0;         // mm across the roll or sheet, y
  double length = 0.0;        // mm along, x; 0: a roll
  bool grain_across = false;  // grain lines lie along y instead of x
};

struct PieceLayoutOptions {
  PieceBed bed;
  std::map<std::string, PieceBed> beds;  // of materials that have one of their own; only by_material
  double gap = 5.0;                      // mm between the boxes of two pieces
  std::map<std::string, double> gaps;    // of materials that have one of their own; only by_material
  bool grain = true;         // grain lines are laid along; without one a piece lies as it is drawn
  bool by_material = false;  // pieces of one material on a roll or sheet, in the order of the style's pieces
  unsigned threads = 0;
  std::function<void(std::size_t)> advance = {};  // called with a count of pieces drawn, from any thread
};

struct PiecePlace {
  std::size_t sheet = 0;
  Box2 box;  // of the piece, where it lies
};

struct PieceLayout {
  std::vector<Sheet> sheets;                        // along x from 0, across y from 0
  std::vector<PiecePlace> places;                   // by piece, as they were asked for
  std::vector<PieceBed> beds;                       // of each
  std::vector<double> gaps;                         // of each
  std::vector<double> lengths;                      // mm used of each
  std::vector<std::vector<std::string>> materials;  // on each
  double net = 0.0;                                 // mm^2 of all pieces
  std::size_t without_grain = 0;                    // pieces that have no grain line
};

Result<PieceLayout> lay_pieces(const StyleGrade& grade, const std::vector<LaidPiece>& pieces,
                               const PieceLayoutOptions& options);

}  // namespace lastwright
