// Boots of any height: how their upper stands, and the shaft that is as high in front as behind.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <optional>

#include "grading/grade/grade_map.hpp"
#include "grading/style/forme_lookup.hpp"
#include "tests/support/drawn_forms.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

struct BootForm {
  double high = 280.0;   // mm, of the back top above the ground
  double slope = 0.0;    // mm that the top line rises to the front
  double lean = 0.0;     // mm that the shaft leans back at its top
  double width = 128.0;  // mm across the top line
  Vec2 heel{0, 40};
  Vec2 toe{262, 14};
  Vec2 vamp_point{150, 92};
  [[nodiscard]] Vec2 back_top() const { return {-lean, high}; }
  [[nodiscard]] Vec2 front_top() const { return {width - lean, high + slope}; }
};

// A vamp, and a shaft down to the feather: drawn to their finished edges, in place.
std::vector<DrawnPiece> boot_upper(const BootForm& form) {
  const Vec2 instep{122, std::min(128.0, 0.5 * (form.high + form.vamp_point.y))};
  const Vec2 across = left_of(unit(form.vamp_point - form.toe));
  const Stroke waist = curve_to({20, 22}, {70, 23}, {112, 9});
  const Stroke joint = curve_to({148, -3}, {200, -9}, {226, -11});
  const Stroke fore = curve_to({250, -12.8}, form.toe + 15.0 * across, form.toe);
  const Stroke to_foot = first_part(waist.to, joint, 0.2);
  const Vec2 foot = to_foot.to;
  const Stroke vamp_line = curve_to(form.vamp_point + 22.0 * across, foot + Vec2{20, 44}, foot);
  const Stroke front = curve_to(instep + Vec2{3, -10}, form.vamp_point + Vec2{-14, 12}, form.vamp_point);
  const Vec2 top = form.front_top();
  const Stroke shin = curve_to(lerp(top, instep, 0.3), lerp(top, instep, 0.8) + Vec2{-2, 0}, instep);
  const Vec2 back = form.back_top();
  const Vec2 ankle{14, 40.0 + 0.3 * (form.high - 40.0)};
  const Stroke calf = curve_to(lerp(back, ankle, 0.4), ankle + Vec2{0, 0.1 * (form.high - 40.0)}, ankle);
  const Stroke counter =
      curve_to(ankle - Vec2{0, 0.1 * (form.high - 40.0)}, form.heel + Vec2{-3, 20}, form.heel);
  return {{"VAMP",
           form.vamp_point,
           {vamp_line, last_part(waist.to, joint, 0.2), fore, line_to(form.vamp_point)},
           {200, 20}},
          {"SHAFT",
           form.heel,
           {waist, to_foot, turned_back(form.vamp_point, vamp_line), turned_back(instep, front),
            turned_back(top, shin), line_to(back), calf, counter},
           {50, 70}}};
}

const PieceSpec* piece_named(const Draft& draft, const std::string& name) {
  const auto found = std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                                  [&](const PieceSpec& one) { return one.name == name; });
  return found == draft.style.pieces.end() ? nullptr : &*found;
}

// How a point is graded `sizes` and `widths` away, in the frame of the base line.
class GradedBoot {
 public:
  GradedBoot(const StyleSpec& style, const FormeSpec& forme) : style_(style), forme_(forme) {
    std::vector<std::string> names;
    for (const MeasureSpec& one : style.measures) names.push_back(one.name);
    map_ = make_grade_map(forme, names);
  }
  [[nodiscard]] bool made() const { return map_ && *map_; }
  [[nodiscard]] Vec2 moved(const std::string& point, double sizes, double widths) const {
    GradeStep step;
    step.size_steps = sizes;
    step.width_steps = widths;
    for (const MeasureSpec& one : style_.measures)
      step.increments.push_back(one.from_scale ? sizes * 20.0 / 3.0
                                               : sizes * one.per_size.millimetres.value() +
                                                     widths * one.per_width.millimetres.value());
    const Result<Drivers> drivers = (*map_)->drivers(step);
    RC_ASSERT(static_cast<bool>(drivers));
    const Vec2 heel = drawn_place(forme_, "heel");
    const Vec2 along = unit(drawn_place(forme_, forme_.base_line.second) - heel);
    const Vec2 off = (*map_)->graded(drawn_place(forme_, point), *drivers) - drawn_place(forme_, point);
    const double up = cross(along, drawn_place(forme_, "back top") - heel) > 0.0 ? 1.0 : -1.0;
    return {dot(off, along), up * cross(along, off)};
  }

 private:
  const StyleSpec& style_;
  const FormeSpec& forme_;
  std::optional<Result<GradeMap>> map_;
};

}  // namespace

TEST_CASE("a boot stands by its lower edge however high it is, and grows as high in front as behind",
          "[draft][law]") {
  holds_for_all(
      "boots of every height",
      [](bool over) {
        BootForm form;
        form.high = *rc::gen::inRange(140, 641);
        form.width = 122.0 + std::min(1.0, (form.high - 130.0) / 200.0) * *rc::gen::inRange(-15, 28);
        form.lean = *rc::gen::inRange(0, 11) / 100.0 * (form.high - 100.0);
        form.slope = *rc::gen::inRange(0, 2) == 1 ? *rc::gen::inRange(-12, 13) : 0;
        const SheetPlace place{*rc::gen::inRange(0, 360) * 1.0,
                               over,
                               {*rc::gen::inRange(-500, 500) * 1.0, -77.0},
                               *rc::gen::inRange(0, 2) == 1};
        const SheetPlace in_mm{place.degrees, place.over, place.shift, false};
        const Draft draft = draft_of_kind(court_drawing(boot_upper(form), place), {"boot-shaft"}, "39");
        RC_ASSERT(draft.style.formes.size() == 1U);
        const FormeSpec& forme = draft.style.formes.front();
        RC_ASSERT(forme.stated_role == FormeRole::kUpper);
        for (const auto& [name, at] : {std::pair<const char*, Vec2>{"heel", form.heel},
                                       {"toe", form.toe},
                                       {"back top", form.back_top()},
                                       {"shaft front", form.front_top()},
                                       {"vamp point", form.vamp_point}}) {
          RC_ASSERT(find_point(forme, name) != nullptr);
          RC_ASSERT(distance(drawn_place(forme, name), in_mm.of(at)) < 0.01);
        }
        const PieceSpec* vamp = piece_named(draft, "vamp");
        RC_ASSERT(vamp != nullptr);
        RC_ASSERT(vamp->fold.has_value());
        RC_ASSERT(draft.style.seams.size() == 1U);
        std::size_t lasted = 0;
        for (const PieceSpec& piece : draft.style.pieces) {
          for (const EdgeSpec& edge : piece.edges)
            lasted += static_cast<std::size_t>(edge.treatment == Treatment::kLasting);
        }
        RC_ASSERT(lasted == 2U);
        for (const MeasureSpec& one : draft.style.measures) {
          if (one.name == "shaft girth")
            RC_ASSERT(std::abs(one.base.millimetres.value() -
                               2.0 * distance(form.back_top(), form.front_top())) < 0.02);
        }
        const GradedBoot boot(draft.style, forme);
        RC_ASSERT(boot.made());
        constexpr double kPerSize = 20.0 / 9.0;  // mm: a third of a Paris point
        for (const auto& [sizes, widths] : {std::pair{-3.0, 0.0}, {3.0, 1.0}, {0.0, 1.0}, {0.0, -1.0}}) {
          const double behind = boot.moved("back top", sizes, widths).y;
          const double before = boot.moved("shaft front", sizes, widths).y;
          RC_ASSERT(std::abs(before - sizes * kPerSize) < 0.03);
          RC_ASSERT(std::abs(before - behind) < 0.25);  // a back that leans grows along itself
        }
      },
      20);
}
