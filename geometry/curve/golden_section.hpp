// Where a function of one number is least, by the golden section (Kiefer 1953): one value a step, no slopes.
#pragma once

#include <utility>

namespace lastwright {

// The stretch of [low, high] that holds a least value of `f`, after `steps` steps or once it is no longer
// than `width`, whichever comes first. Certain where `f` falls and then rises; elsewhere one of its valleys.
// Each step shortens the stretch to 0.618 of what it was.
template <class F>
std::pair<double, double> valley_of(const F& f, double low, double high, int steps, double width) {
  constexpr double kGolden = 0.6180339887498949;  // the golden section
  double a = high - kGolden * (high - low);
  double b = low + kGolden * (high - low);
  double at_a = f(a);
  double at_b = f(b);
  for (int i = 0; i < steps && high - low > width; ++i) {
    if (at_a < at_b) {
      high = b;
      b = a;
      at_b = at_a;
      a = high - kGolden * (high - low);
      at_a = f(a);
    } else {
      low = a;
      a = b;
      at_a = at_b;
      b = low + kGolden * (high - low);
      at_b = f(b);
    }
  }
  return {low, high};
}

}  // namespace lastwright
