// An invented court shoe as drawings, anywhere on the sheet: moved, turned, turned over, in another unit, its
// pieces in another order.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "geometry/vec2.hpp"
#include "tests/support/dxf_maker.hpp"

namespace lastwright::test {

struct SheetPlace {
  double degrees = 0.0;
  bool over = false;  // turned over in the y axis, before it is turned
  Vec2 shift;         // mm
  bool inches = false;
  [[nodiscard]] Vec2 of(Vec2 p) const {
    if (over) p.x = -p.x;
    const Vec2 q = turned(p, degrees * 3.14159265358979323846 / 180.0) + shift;
    return inches ? q / 25.4 : q;
  }
  [[nodiscard]] double text_degrees(double flat) const {
    return over ? 180.0 - flat + degrees : flat + degrees;
  }
};

// A cubic from where the last one ended; a straight line where it has no inner poles.
struct Stroke {
  Vec2 to;
  std::vector<Vec2> inner = {};
};
struct DrawnPiece {
  std::string name;
  Vec2 from;
  std::vector<Stroke> strokes;
  Vec2 text;
};

inline Stroke line_to(Vec2 to) {
  return {to, {}};
}
inline Stroke curve_to(Vec2 a, Vec2 b, Vec2 to) {
  return {to, {a, b}};
}

// The first part of a cubic, and its end.
inline Stroke first_part(Vec2 from, const Stroke& whole, double t) {
  const Vec2 a = lerp(from, whole.inner[0], t);
  const Vec2 m = lerp(whole.inner[0], whole.inner[1], t);
  const Vec2 d = lerp(whole.inner[1], whole.to, t);
  const Vec2 b = lerp(a, m, t);
  const Vec2 c = lerp(m, d, t);
  return {lerp(b, c, t), {a, b}};
}

inline std::vector<DrawnPiece> court_upper() {
  const Vec2 heel{0, 0};
  const Vec2 toe{248, 12};
  const Vec2 vamp_point{184, 40};
  const Vec2 side_foot{105, -3};
  const Vec2 side_top{118, 32};
  const Vec2 back_top{3, 56};
  const Vec2 across = left_of(unit(vamp_point - toe));  // square to the fold, down and back
  const Stroke throat = curve_to(vamp_point + 14 * across, {150, 29}, side_top);
  const Stroke forefoot = curve_to({150, -10}, toe + 20 * across, toe);
  const Stroke waist = curve_to({30, -6}, {75, -4}, side_foot);
  const Stroke collar = curve_to({90, 34.6}, {32, 55}, back_top);
  const Stroke back = curve_to({1.55, 40}, {-3, 15}, heel);
  const Stroke wing = first_part(heel, waist, 0.55);
  const std::vector<Stroke> vamp{line_to(vamp_point), throat, line_to(side_foot), forefoot};
  const std::vector<Stroke> quarter{waist, line_to(side_top), collar, back};
  return {{"VAMP", toe, vamp, {170, 8}},
          {"QUARTER_OUTSIDE", heel, quarter, {30, 22}},
          {"QUARTER_INSIDE", heel, quarter, {30, 22}},
          {"VAMP_LINING", toe, vamp, {170, 8}},
          {"QUARTER_LINING", heel, quarter, {30, 22}},
          {"STIFFENER", heel, {wing, curve_to({45, 20}, {20, 42}, {1.8, 43}), line_to(heel)}, {12, 14}}};
}

inline std::vector<DrawnPiece> court_bottom() {
  const auto sole = [](double grown) {
    const auto out = [&](double x, double y) {
      const Vec2 centre{120, 0};
      const Vec2 way = Vec2{x, y} - centre;
      return centre + (1.0 + grown / norm(way)) * way;
    };
    return std::vector<Stroke>{curve_to(out(0, -30), out(60, -24), out(170, -38)),
                               curve_to(out(215, -47), out(246, -30), out(246, 0)),
                               curve_to(out(246, 34), out(200, 37), out(156, 36)),
                               curve_to(out(80, 34), out(0, 33), out(0, 0))};
  };
  const auto start = [](double grown) { return Vec2{-grown, 0}; };
  return {{"INSOLE", start(0), sole(0), {70, 5}}, {"OUTSOLE", start(3), sole(3), {70, -8}}};
}

inline std::vector<DrawnPiece> court_straps() {
  return {{"ANKLE_STRAP",
           {0, 0},
           {line_to({230, 0}), curve_to({237, 0}, {240, 3}, {240, 6}),
            curve_to({240, 9}, {237, 12}, {230, 12}), line_to({0, 12}), line_to({0, 0})},
           {20, 4}}};
}

inline std::string at_tags(int x, int y, Vec2 p) {
  return fmt::format("{} {:.9f}|{} {:.9f}", x, p.x, y, p.y);
}

inline std::string block_of(const DrawnPiece& piece, const SheetPlace& place,
                            const std::string& layer = "1") {
  std::string text;
  Vec2 from = piece.from;
  for (const Stroke& stroke : piece.strokes) {
    if (stroke.inner.empty()) {
      text += tags(fmt::format("0 LINE|8 {}|{}|{}", layer, at_tags(10, 20, place.of(from)),
                               at_tags(11, 21, place.of(stroke.to))));
    } else {
      std::string spline =
          fmt::format("0 SPLINE|8 {}|70 8|71 3|72 8|73 4|40 0|40 0|40 0|40 0|40 1|40 1|40 1|40 1", layer);
      for (const Vec2 pole : {from, stroke.inner[0], stroke.inner[1], stroke.to})
        spline += "|" + at_tags(10, 20, place.of(pole));
      text += tags(spline);
    }
    from = stroke.to;
  }
  text += tags(fmt::format("0 TEXT|8 15|{}|40 {}|50 {:.9f}|1 {}", at_tags(10, 20, place.of(piece.text)),
                           place.inches ? 0.1 : 3.0, place.text_degrees(0.0), piece.name));
  return block(piece.name, text);
}

inline std::string court_drawing(const std::vector<DrawnPiece>& pieces, const SheetPlace& place,
                                 const std::string& layer = "1", const std::string& more = "") {
  std::string blocks;
  std::string inserts;
  for (const DrawnPiece& piece : pieces) {
    blocks += block_of(piece, place, layer);
    inserts += tags("0 INSERT|8 0|2 " + piece.name + "|10 0|20 0");
  }
  std::string out = section(
      "HEADER", tags(std::string("9 $ACADVER|1 AC1015|9 $INSUNITS|70 ") + (place.inches ? "1" : "4")));
  return out + section("BLOCKS", blocks) + section("ENTITIES", inserts + more) + "0\nEOF\n";
}

}  // namespace lastwright::test
