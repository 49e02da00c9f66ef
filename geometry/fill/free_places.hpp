// Where a shape may still lie in a region: a picture of the places, each exact at its own point, and the
// nearest one that a shape can slide to from there.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/fill/fill_shape.hpp"
#include "geometry/lattice/sum_obstacle.hpp"

namespace lastwright {

struct PlaceSearch {
  // Looked for within this box of places; nothing: everywhere.
  std::optional<Box2> within = {};
  // Refuses a place for what the caller knows beside overlap; nothing: none is refused.
  std::function<bool(Vec2)> allowed = {};
};

class FreePlaces {
 public:
  // `cells` points to look at, as many along as across for
  // the region's box. Places are of the shape's origin. `only`: no place outside this box is ever asked for;
  // what cannot reach it is then passed over, and the places are the same.
  FreePlaces(TurnedShape shape, const FillRegion& region, std::size_t cells,
             const std::optional<Box2>& only = {});

  // What is there already, in convex parts: no place overlaps it from now on.
  void forbid(const std::vector<Polygon>& parts);
  // How many times that was more than to look at its box.
  [[nodiscard]] std::size_t obstacles() const { return obstacles_.size(); }

  // The free place farthest to the left (x least, then y), slid as far left and then down as it goes. Empty
  // where none of the points looked at is free: a place narrower than they lie apart may be missed.
  [[nodiscard]] std::optional<Vec2> leftmost(const PlaceSearch& search = {}) const;

  [[nodiscard]] const TurnedShape& shape() const { return shape_; }
  // How far a place is from being free, as a length; 0 where it is.
  [[nodiscard]] double depth(Vec2 place) const;

 private:
  struct Wall {
    Vec2 normal;
    double height;  // dot(normal, place) stays below it
  };
  void draw(const Polygon& forbidden);
  [[nodiscard]] Vec2 point(std::size_t column, std::size_t row) const {
    return {low_.x + static_cast<double>(column) * step_, low_.y + static_cast<double>(row) * step_};
  }
  [[nodiscard]] Vec2 slid(Vec2 from, Vec2 along, Vec2 then, const PlaceSearch& search) const;

  TurnedShape shape_;
  std::optional<Box2> only_;
  std::vector<Wall> walls_;
  std::vector<SumObstacle> obstacles_;
  Vec2 low_;
  double step_ = 1.0;
  std::size_t columns_ = 0;
  std::size_t rows_ = 0;
  std::vector<std::uint8_t> taken_;  // by column, then row
};

}  // namespace lastwright
