// Papers, and how a drawing larger than one sheet is spread over several.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct Paper {
  std::string name;
  double width = 0.0;   // millimetres, upright
  double height = 0.0;  // of a roll: the longest page that is made of it
  bool roll = false;    // a page of a roll is cut off where the drawing ends
};

// "A4", "A3", "A2", "A1", "A0" (ISO 216), "Letter" (8.5 x 11 in), "Tabloid" (11 x 17 in), or "roll 900" with
// the roll's width in millimetres, 130 (the check square and the margins) to 2000.
Result<Paper> paper_named(std::string_view name);

struct TileOptions {
  double margin =
      10.0;  // round the page: what printers leave blank; 10 covers the office printers we know of
  double overlap = 12.0;  // shared by neighbouring sheets, for glueing
  double strip = 10.0;    // at the foot of every page, for its name and place
};

struct Tile {
  int row = 0;  // from the top
  int column = 0;
  Box2 shown;  // part of the drawing on this page
};

struct TilePlan {
  double page_width = 0.0;  // turned on its side where that needs fewer sheets
  double page_height = 0.0;
  int rows = 0;
  int columns = 0;
  std::vector<Tile> tiles;  // row by row
};

// Sheets that cover `drawing` at 1:1. Refuses more than 2,000
// sheets and a paper that the margins leave nothing of.
Result<TilePlan> plan_tiles(const Box2& drawing, const Paper& paper, const TileOptions& options);

// "row 1 of 2, column 1 of 3", the top left one first; "one sheet" where there is no other. No letter and
// number that could be a paper.
std::string tile_name(const TilePlan& plan, int row, int column);

}  // namespace lastwright
