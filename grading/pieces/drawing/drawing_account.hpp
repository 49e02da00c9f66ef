// The account of a drawing: everything that was read is used by a named piece, left out by name, or an error.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

struct LeftOutThing {
  DrawnFrom from;
  std::optional<Vec2> at;  // a place of it; empty for what was not read at all
  std::string piece;       // that it belongs to; "" for none
  std::string reason;      // "nobody gave its layer a role"
  std::size_t entities = 1;
  bool asked = false;        // the style says so ("ignore"): no cause for a warning
  bool mirror_line = false;  // on a layer of mirror lines, and on no fold
  bool not_doubled = false;  // of these: what it asks for is not done, for its piece is not cut double
  // Of several entities: how many there are of each kind, in the order of their first. Empty: all are `from`.
  std::vector<std::pair<std::string, std::size_t>> kinds = {};
};
// The same, filled in: {"LINE", 1}, {"SPLINE", 3}.
std::vector<std::pair<std::string, std::size_t>> kinds_of(const LeftOutThing& thing);
// Adds to the count of a kind, which is put last where it is new.
void count_kind(std::vector<std::pair<std::string, std::size_t>>& kinds, const std::string& kind,
                std::size_t count);

struct DrawingAccount {
  std::string file;
  std::size_t read = 0;     // Drawing::entities_in
  double unit_in_mm = 1.0;  // in which places are told
  // By piece; what several pieces use counts for the first. By "" marks that lie in no piece and name points
  // of the formes.
  std::map<std::string, std::size_t> used;
  std::vector<LeftOutThing> left_out;  // what the reader left out first
  std::size_t in_error = 0;            // each with its Problem, or of a piece that has one

  [[nodiscard]] std::size_t used_in_all() const;
  [[nodiscard]] std::size_t left_out_in_all() const;
  // Always true of an account that bind_pieces made; a false one is a fault of the program.
  [[nodiscard]] bool adds_up() const;
};

// "upper.dxf: 32 entities read: 29 used by 7 pieces, 3 left out"; "..., 2 by points of the formes, ..." where
// marks in no piece name them
std::string account_sum(const DrawingAccount& account);

// What is left out without having been asked for, one line for each kind, layer, piece and reason, each with
// how many (of several kinds of entities "1 LINE, 3 SPLINE") and the first places: "upper.dxf: left out: 2
// LINE on the layer 99: nobody gave its layer a role: at (1.0, 2.0), line 120; at (3.0, 4.0), line 160". At
// most 60 lines, and one that counts the rest.
std::vector<std::string> left_out_lines(const DrawingAccount& account);
// The same of those alone that are such.
std::vector<std::string> left_out_lines(const DrawingAccount& account,
                                        const std::function<bool(const LeftOutThing&)>& such);

}  // namespace lastwright
