// Lines along which pieces lie on a hide, in parts that run one way.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/box2.hpp"

namespace lastwright {

inline constexpr double kOneWay = 4.0;  // degrees

// The parts of a line in its order, none of which anywhere runs more than kOneWay off the chord between its
// ends: each leg of a bent line is one, an arc gives many. Steps shorter than a millimetre, as the ends of
// joined lines have them, have no way of their own.
std::vector<std::vector<Vec2>> one_way_parts(const std::vector<Vec2>& line);

// Which of several lines is nearest to a place, the first of those as near; without lines the first. Known
// cell by cell of a grid: of most of them one line alone can be.
class NearestLine {
 public:
  // `about`: where places are mostly asked for; elsewhere all lines are looked at.
  NearestLine(std::vector<std::vector<Vec2>> lines, const Box2& about);

  [[nodiscard]] std::size_t operator()(Vec2 at) const;
  // A box that holds all places of `about` to which the line is nearest; empty where it is to none.
  [[nodiscard]] const Box2& box(std::size_t line) const { return boxes_[line]; }
  // How many lines are looked at for a place.
  [[nodiscard]] std::size_t looked_at(Vec2 at) const;

 private:
  [[nodiscard]] double away(std::size_t line, Vec2 at) const;
  // Empty: all of them.
  [[nodiscard]] const std::vector<std::uint32_t>* near(Vec2 at) const;

  std::vector<std::vector<Vec2>> lines_;
  Vec2 low_;
  double step_ = 1.0;
  std::size_t columns_ = 0;
  std::size_t rows_ = 0;
  std::vector<std::vector<std::uint32_t>> cells_;  // by column, then row: the lines that can be nearest there
  std::vector<Box2> boxes_;                        // by line
};

}  // namespace lastwright
