#include "grading/pieces/first/first_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "geometry/io/dxf/drawn_twice.hpp"
#include "grading/pieces/first/first_defaults.hpp"
#include "grading/pieces/unit_words.hpp"

namespace lastwright {

namespace {

// The largest piece of a style is about as long as the stick length; beyond these shares of it the unit is
// doubtful (an inch is 25 mm, a centimetre 10).
constexpr double kLeastOfStick = 0.3;
constexpr double kMostOfStick = 3.0;

}  // namespace

bool could_be_outline(const LeftOut& one) {
  static const std::set<std::string> kNone = {
      "TEXT",     "MTEXT", "ATTRIB",    "ATTDEF",  "DIMENSION", "LEADER", "HATCH", "MULTILEADER",
      "VIEWPORT", "IMAGE", "TOLERANCE", "WIPEOUT", "OLE2FRAME", "XLINE",  "RAY",   "POINT"};
  static const std::set<std::string> kNothing = {"in the paper space", "it has no length", "radius 0",
                                                 "an ellipse without extent"};
  return !kNone.contains(one.from.entity) && !kNothing.contains(one.reason) &&
         !one.reason.starts_with(kDrawnTwice);
}

std::optional<std::string> doubt_of_size(const Drawing& drawing, double largest) {
  const double mm = drawing.unit_in_mm;
  const double share = largest / kFirstStickLength;
  if (share >= kLeastOfStick && share <= kMostOfStick) return std::nullopt;
  std::string text = fmt::format(
      "the largest piece is {:.1f} mm long, {:.2g} times the stick length of {:.1f} mm: is its "
      "unit really {}?",
      largest, share, kFirstStickLength, unit_name(mm));
  for (const auto& [name, size] : {std::pair{"mm", 1.0}, {"cm", 10.0}, {"in", 25.4}}) {
    const double other = share * size / mm;
    if (other >= kLeastOfStick && other <= kMostOfStick)
      text += fmt::format("{} --units {} makes it {:.1f} mm", text.back() == '?' ? "" : ",", name,
                          largest * size / mm);
  }
  return text;
}

std::optional<Problem> pieces_too_far(const Drawing& drawing, const Box2& box) {
  constexpr double kFarthest = 1e5;  // a style's places, as the schema says; millimetres
  const double away =
      std::max({std::abs(box.low.x), std::abs(box.low.y), std::abs(box.high.x), std::abs(box.high.y)});
  if (away <= kFarthest) return std::nullopt;
  Problem problem{Trouble::kBadValue, "", {}, away, kFarthest};
  problem.message = fmt::format(
      "the pieces lie too far from the drawing's origin, in millimetres; move the drawing by about "
      "({:.0f}, {:.0f}) "
      "mm, so that it starts at its origin",
      -box.low.x, -box.low.y);
  problem.place.file = drawing.file;
  return problem;
}

}  // namespace lastwright
