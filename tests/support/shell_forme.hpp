// A small shell forme with irregular rules, and a piece on it: enough to grade without a style file.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/grade_map.hpp"
#include "grading/pieces/bound_piece.hpp"

namespace lastwright::support {

inline const std::vector<std::string> kMeasures = {"stick length", "ball girth", "tread"};

inline FormeSpec shell_forme() {
  FormeSpec forme;
  forme.name = "shell";
  forme.points = {{"heel", {0, 0}},           {"toe", {280, 0}},      {"ball top", {190, 85}},
                  {"ball feather", {205, 4}}, {"throat", {150, 110}}, {"counter top", {4, 60}}};
  forme.base_line = {"heel", "toe"};
  forme.fixed_point = "heel";
  forme.length_line = "stick";
  forme.girth_line = "ball line";
  forme.rules = {MeasureLine{"stick", "heel", "toe", {{"stick length", 1}}},
                 MeasureLine{"ball line",
                             "ball feather",
                             "ball top",
                             {{"ball girth", Fraction(1, 2)}, {"tread", Fraction(-1, 2)}}}};
  return forme;
}

// English increments: 1/3 in, 1/4 in and 1/12 in per size; 1/4 in and 1/9 in per width (Golding 1902).
inline GradeStep english_step(double sizes, double widths) {
  return {
      {sizes * 25.4 / 3, (sizes + widths) * 25.4 / 4, sizes * 25.4 / 12 + widths * 25.4 / 9}, sizes, widths};
}

// A quarter-like piece: a straight front, a concave spline
// at the top, an arc at the back corner, a curved bottom.
inline BoundPiece quarter_piece() {
  const auto chain = [](std::vector<Curve> curves) {
    return *make_open_chain({std::move(curves)}, Millimetres(1e-6));
  };
  const Vec2 a{20, 8};
  const Vec2 b{170, 6};
  const Vec2 c{150, 105};
  const Vec2 d{30, 110};
  const Vec2 e{12, 95};
  BoundPiece piece;
  piece.spec.name = "quarter";
  piece.spec.forme = "shell";
  const auto edge = [&](std::string name, std::vector<Curve> curves) {
    EdgeSpec spec;
    spec.name = std::move(name);
    piece.edges.push_back({spec, chain(std::move(curves))});
  };
  edge("bottom", {*make_spline(3, {0, 0, 0, 0, 1, 2, 2, 2, 2}, {a, {60, -4}, {95, 9}, {140, 1}, b})});
  edge("front", {Line{b, {166, 50}}, Line{{166, 50}, c}});
  edge("top", {*make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {c, {110, 80}, {70, 120}, d})});
  edge("back", {Arc{d, e, 0.35}, *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {e, {2, 60}, {8, 30}, a})});
  return piece;
}

}  // namespace lastwright::support
