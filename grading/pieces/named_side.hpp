// On which side of the foot a piece of the upper lies by its name, and for which foot it is then drawn.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

enum class NamedSide { kNone, kInside, kOutside };

// Whole words, whatever their case: inside or medial, outside or lateral. kNone where it says neither, or
// both.
NamedSide side_named(const std::string& name);
// The same of a piece among all of a style. Inner and outer count too where another piece is called the
// opposite and alike otherwise ("inner quarter" beside "outer quarter"): alone they may say which of two
// layers it is. The bottom is not spoken of.
NamedSide side_of_piece(const std::string& name, const std::vector<std::string>& all);

// Where the good side of a piece of the upper is on the shoe: away from the foot, or to it as a lining's is.
// kUnknown where layer and name do not say, or the piece lies between the two, as a stiffener does.
enum class GoodSide { kUnknown, kOut, kToFoot };
GoodSide good_side(const PieceSpec& piece);

// Which way a piece lies on its forme: gathers places along its edges, or along those of all pieces of the
// forme.
class AboveFeather {
 public:
  void add(std::span<const Vec2> places, bool lasted);
  // 1 where what is not lasted lies to the left of the way from heel to toe (a unit vector) as seen from what
  // is, -1 to the right. 0: not decided, as nothing is lasted, or it lies more along that way than across it.
  [[nodiscard]] int turn(Vec2 along) const;

 private:
  struct Places {
    Vec2 sum;
    std::size_t count = 0;
  };
  Places lasted_;
  Places others_;
};

// "left" or "right": the foot for which a piece is cut as it lies on its forme with its good side up. `turn`
// as of AboveFeather: 1 where, with the feather below, the toe is at the right. So seen is the outside of a
// right shoe and the inside of a left one; with the good side to the foot it is seen from within. Empty where
// one of the three is not known.
std::string foot_shown(NamedSide side, GoodSide good, int turn);

}  // namespace lastwright
