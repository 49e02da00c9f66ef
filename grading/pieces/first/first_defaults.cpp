#include "grading/pieces/first/first_defaults.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "grading/pieces/first/first_corners.hpp"

namespace lastwright {

namespace {

constexpr double kBallGirth = 246.0;  // mm, of an English 8 F: common practice

// Thousandths, so that a person can read the share.
Fraction share_of(double length, double whole) {
  return Fraction(std::max<std::int64_t>(1, std::llround(1000.0 * length / whole)), 1000);
}

FormeSpec first_forme(const Box2& box) {
  FormeSpec forme;
  forme.name = kFirstForme;
  const Vec2 low = style_place(box.low);
  const Vec2 high = style_place(box.high);
  forme.points = {{"heel", low}, {"toe", {high.x, low.y}}, {"top", {low.x, high.y}}};
  forme.base_line = {"heel", "toe"};
  forme.fixed_point = "heel";
  forme.length_line = "length";
  forme.girth_line = "girth";
  forme.rules = {
      MeasureLine{"length", "heel", "toe", {{"stick length", share_of(high.x - low.x, kFirstStickLength)}}},
      MeasureLine{"girth", "heel", "top", {{"ball girth", share_of(high.y - low.y, kBallGirth)}}}};
  return forme;
}

}  // namespace

void fill_first_style(const DrawingSpec& drawing, const Box2& box, StyleSpec& style,
                      std::vector<std::string>& guesses) {
  style.note =
      "A first draft made from the drawing alone. To be confirmed: scale, run, measures, forme, rules, and "
      "for every "
      "piece its edges with their treatments and allowances.";
  style.scale = "english";
  style.ladder = "english-letters";
  style.base_size = "8";
  style.base_width = "F";
  style.run_from = "6";
  style.run_to = "11";
  style.run_by = Fraction(1, 2);
  style.run_widths = {"E", "F", "G"};
  style.drawings.push_back(drawing);
  MeasureSpec stick;
  stick.name = "stick length";
  stick.from_scale = true;
  MeasureSpec girth;
  girth.name = "ball girth";
  girth.base = *parse_quantity("246 mm");
  girth.per_size = *parse_quantity("1/4 in");
  girth.per_width = *parse_quantity("1/4 in");
  girth.source = {"to be confirmed: a usual step, not a figure of this last", "",
                  Provenance::kCommonPractice};
  style.measures = {stick, girth};
  style.formes.push_back(first_forme(box));
  guesses.emplace_back(
      "scale english, ladder english-letters, base 8 F, sizes 6 to 11 with halves, widths E, F, G");
  guesses.emplace_back("ball girth 246 mm in the base size, 1/4 in a size and a width (common practice)");
  guesses.emplace_back(
      "one forme for all pieces, its base line along the bottom of the drawing; all pieces grow in "
      "proportion: along it with "
      "the stick length, across it with the ball girth");
  guesses.emplace_back("all edges raw, without allowance; all pieces handed, two to a pair");
}

}  // namespace lastwright
