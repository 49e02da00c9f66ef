// A rectangle with one of everything in it, as a drawing, and the piece that it is.
#pragma once

#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "grading/pieces/piece_bind.hpp"

namespace lastwright::test {

inline DrawnFrom from(const std::string& layer, const std::string& block = "") {
  return {"LINE", layer, block, 0, "", 7};
}

inline DrawnPath polygon(std::vector<Vec2> points, const std::string& layer, const std::string& block = "") {
  DrawnPath path;
  for (std::size_t i = 0; i < points.size(); ++i)
    path.curves.push_back(Line{points[i], points[(i + 1) % points.size()]});
  path.closed = true;
  path.from = from(layer, block);
  return path;
}

inline DrawnPath line(Vec2 a, Vec2 b, const std::string& layer, const std::string& block = "") {
  return {{Line{a, b}}, false, 0, 0, from(layer, block)};
}

// A rectangle 100 x 50 in the block BOX, drawn clockwise, with one of everything in it.
inline Drawing box_drawing() {
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {polygon({{0, 0}, {0, 50}, {100, 50}, {100, 0}}, "1", "BOX"),
                   line({10, 10}, {90, 10}, "14", "BOX"),
                   line({10, 20}, {90, 20}, "7", "BOX"),
                   line({10, 21}, {12, 20}, "7", "BOX"),
                   line({50, -1}, {50, 3}, "4", "BOX"),
                   polygon({{60, 30}, {70, 30}, {70, 40}, {60, 40}}, "11", "BOX"),
                   polygon({{20, 30}, {30, 30}, {30, 40}, {20, 40}}, "8", "BOX"),
                   line({1, 1}, {2, 2}, "99", "BOX")};
  drawing.circles = {{{80, 25}, 2.5, from("13", "BOX")}, {{85, 25}, 1.0, from("11", "BOX")}};
  drawing.points = {
      {{100, 30.2}, from("4", "BOX")}, {{40, 25}, from("13", "BOX")}, {{3, 3}, from("2", "BOX")}};
  drawing.texts = {{{5, 5}, 3.0, Radians(0.0), "box", from("15", "BOX")}};
  return drawing;
}

inline PieceSpec box_piece() {
  PieceSpec spec;
  spec.name = "box";
  spec.forme = "shell";
  spec.source = {"d", "BOX", {}, {}};
  spec.corners = {{"a", Vec2{0.4, 0.3}}, {"b", "corner"}, {"c", Vec2{100, 50}}, {"d", Vec2{0, 50}}};
  spec.edges = {{"bottom", "a", "b"}, {"right", "b", "c"}, {"top", "c", "d"}, {"left", "d", "a"}};
  return spec;
}

inline FormeSpec forme() {
  FormeSpec spec;
  spec.name = "shell";
  spec.points = {{"corner", {100.0, 0.2}}};
  return spec;
}

inline PatternDrawing prepared(Drawing drawing) {
  return pattern_drawing(std::move(drawing), DrawingSpec{"d", "box.dxf", "", {}});
}

inline Problem fault(const PieceSpec& spec, Drawing drawing = box_drawing()) {
  const auto piece = bind_piece(spec, forme(), prepared(std::move(drawing)));
  REQUIRE_FALSE(piece.ok());
  return piece.problem();
}

// Binds the pieces of one drawing and requires its account to add up.
inline BoundStyle bound_style(Drawing drawing, std::vector<PieceSpec> pieces,
                              DrawingSpec spec = {"d", "box.dxf", "", {}},
                              const std::vector<OutlineLayer>& named = {}) {
  StyleSpec style;
  style.formes = {forme()};
  style.pieces = std::move(pieces);
  drawing.entities_in = drawing.used() + drawing.left_out.size();
  std::map<std::string, PatternDrawing> drawings;
  drawings.emplace("d", pattern_drawing(std::move(drawing), spec, named));
  BoundStyle bound = bind_as_drawn(style, drawings);
  REQUIRE(bound.accounts.size() == 1);
  CHECK(bound.accounts[0].adds_up());
  return bound;
}

inline PieceSpec round_piece(const std::string& name, OutlineSource source, Vec2 corner) {
  PieceSpec spec = box_piece();
  spec.name = name;
  spec.source = std::move(source);
  spec.corners = {{"a", corner}};
  spec.edges = {{"round", "a", "a"}};
  return spec;
}

inline DrawnPath square(Vec2 low, double side, const std::string& layer, const std::string& block = "") {
  return polygon({low, low + Vec2{side, 0}, low + Vec2{side, side}, low + Vec2{0, side}}, layer, block);
}

}  // namespace lastwright::test
