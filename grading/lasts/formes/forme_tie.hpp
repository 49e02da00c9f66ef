// The formes of a style beside those of its last: where each point of the style's forme lies on the last's,
// and where rules and last take it in every size and width.
#pragma once

#include "grading/jobs/load_style.hpp"
#include "grading/lasts/formes/forme_frame.hpp"
#include "grading/lasts/formes/last_formes.hpp"

namespace lastwright {

struct TiedPoint {
  std::string name;
  Vec2 drawn;            // in the style's frame
  double outside = 0.0;  // mm by which it lies beyond the last's forme; 0 on it
  bool on_last = true;   // on it, or near enough to go with its rim
  std::uint32_t triangle = 0;
  std::array<double, 3> weights{};  // of the triangle's corners; they add up to one
};

// One forme of the style on the last's mean or bottom forme of the base.
struct FormeTie {
  std::size_t forme = 0;  // among the style's
  bool bottom = false;
  FlatMotion to_last;   // from the style's frame
  double misfit = 0.0;  // mm: largest distance of the points that tell how it lies, once laid
  std::vector<TiedPoint> points;
};

inline constexpr double kBeyondLast =
    6.0;  // mm beyond the rim up to which a point goes with it: lasting edges and seams

// Laid by the ends of the lines that share ball, waist and instep girth, and by the fixed point on the heel.
// Formes without a role and formes that no such line lies on are left out.
std::vector<FormeTie> tie_formes(const StyleSpec& style, const LastFormes& base);

// Where the last takes the tied points in another size and width, in the style's frame: laid with the fixed
// point (the heel) where it is drawn, turned as near to the drawn points as can be. In the order of the tie's
// points; those beyond the last have none.
using LastPlaces = std::vector<std::optional<Vec2>>;
LastPlaces places_by_last(const FormeTie& tie, const FormeSpec& forme, const LastFormes& formes);

}  // namespace lastwright
