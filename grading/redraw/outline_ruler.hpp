// An outline walked by length: what two drawings of one piece are compared by.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

class OutlineRuler {
 public:
  // A closed run of curves, each starting where the last one ended.
  explicit OutlineRuler(std::vector<Curve> curves);

  struct Foot {
    Vec2 at;                // exactly on its curve
    double distance = 0.0;  // of the asked place from there
    double s = 0.0;         // length along the outline, within 0.002 mm
    std::size_t curve = 0;
    double t = 0.0;  // on that curve
  };
  struct Vertex {
    Vec2 at;              // exact
    double s = 0.0;       // length along the outline
    double turn = 0.0;    // degrees that the outline turns at it, looked at a millimetre to either side
    bool corner = false;  // it breaks there: no joint of a smooth curve, and none of short chords
    // It runs on there without any break, as arcs do that chords were faired to (geometry/curve/fair).
    bool smooth = false;
  };

  [[nodiscard]] const std::vector<Curve>& curves() const { return curves_; }
  [[nodiscard]] const std::vector<Vertex>& vertices() const { return vertices_; }
  [[nodiscard]] double length() const { return reached_.back(); }
  // The place so far along, round and round.
  [[nodiscard]] Vec2 at(double s) const;
  [[nodiscard]] Foot nearest(Vec2 p) const;
  // How far on from one place to another, counter-clockwise: 0 to the length.
  [[nodiscard]] double onward(double from, double to) const;
  // Of degrees; counter-clockwise is positive.
  [[nodiscard]] double turn(double s) const;
  // So many places at equal distances, and at most as many vertices.
  [[nodiscard]] std::vector<Vec2> samples(std::size_t count) const;

 private:
  std::vector<Curve> curves_;
  std::vector<Vec2> points_;  // flattened; the last is the first again
  std::vector<double> reached_;
  std::vector<std::size_t> curve_of_;  // of the chord that starts at each point
  std::vector<Vertex> vertices_;
};

}  // namespace lastwright
