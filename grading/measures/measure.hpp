// A measure: a named length of the last with its value in
// every size and width, from tables alone, no geometry.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/sizes/quantity.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

// How a value follows the size.
enum class Law {
  kArithmetic,    // equal steps: base + increments
  kProportional,  // keeps its ratio to the scale's length: base * length / base length, then the width
                  // increments
};
const char* name_of(Law law);  // "arithmetic", "proportional"

// Other increments in part of the run. The step from one size to the next takes the increment of the stretch
// it lies in; a run that crosses a break adds up the parts, half sizes included. `from` < `to`, positions on
// the scale. In a proportional measure a break with `per_size` goes by equal steps, and the ratio goes on
// from where it ends.
struct MeasureBreak {
  Size from;
  Size to;
  std::optional<Quantity> per_size;  // empty: the measure's own
  // Empty: the measure's own. Taken by the size the width is made in; both ends belong to the stretch, and a
  // size on the border of two goes with the lower one.
  std::optional<Quantity> per_width;
};

struct Measure {
  std::string name;
  Quantity base;       // at the base size and width
  Quantity per_size;   // per whole size step
  Quantity per_width;  // per width step
  Law law = Law::kArithmetic;
  std::vector<MeasureBreak> breaks;
  // Optional width-to-length extra, in size steps per width step (handbooks give 1/8 to 1/4); 0 is off. A
  // width w steps above the base takes its size part from the size position + w times this, a narrower one
  // from below it; the width part still goes by the size it is made in. Meant for measures along the last:
  // each measure has its own.
  Fraction size_steps_per_width = 0;
  Source source;
};

// What every value is reckoned from.
struct Base {
  SizeWidth at;
  Fraction length;  // of the base size on its scale, millimetres
  Fraction step;    // millimetres per size step of the scale
};

// Millimetres, exact for both laws.
Fraction value_of(const Measure& measure, const Base& base, const SizeWidth& at);
// value_of minus the base value.
Fraction increment_of(const Measure& measure, const Base& base, const SizeWidth& at);
// Millimetres per width step in a size.
Fraction width_step_at(const Measure& measure, const Size& size);

// What a reader refuses: a base value that is not above 0,
// breaks that go down or overlap, an extra beyond one size.
Status check_measure(const Measure& measure);

}  // namespace lastwright
