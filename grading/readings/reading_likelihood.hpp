// The chance of one noted reading, given what it ought to read: rounded, and robust against slips.
//
// A reading noted as y stands for all true values within half its step: with l and u the ends of that
// interval less the table's value, and f the expected departure from the table, all in millimetres,
//     p(f) = (1 - e - e0) [Phi((u-f)/s) - Phi((l-f)/s)] + e [the same with 4 s] + e0 h / 80 mm.
// A contaminated normal distribution (Tukey 1960, "A survey of sampling from contaminated distributions")
// with a flat third part for slips of the pen, taken over the rounding interval instead of adding h^2 / 12 to
// the variance (Sheppard's correction fails where h is wider than about 2 s).
#pragma once

namespace lastwright {

struct ReadingInterval {
  double low = 0.0;   // millimetres, departure from the table
  double high = 0.0;  // above low
};

struct ReadingNoise {
  double spread = 0.4;       // s: of the narrow part, millimetres
  double wide_part = 0.02;   // e: readings of four times that spread
  double slip_part = 0.002;  // e0: readings that may be anything
  double own = 0.0;          // what is read has this of its own: s and 4 s are widened by it, as squares add
};

inline constexpr double kWideFactor = 4.0;    // spread of the wide part, in spreads of the narrow one
inline constexpr double kSlipReach = 80.0;    // millimetres over which slips are spread
inline constexpr double kLeastWeight = 1e-5;  // 1 / square millimetre: a slip still has a mode

struct ReadingChance {
  double log_chance = 0.0;  // natural logarithm
  double slope = 0.0;       // of log_chance over f
  double weight = 0.0;  // curvature to work with, never below kLeastWeight: that of the parts at fixed shares
  double narrow = 0.0;  // share of the narrow part in the chance, 0 to 1
};

ReadingChance chance_of(const ReadingInterval& reading, double expected, const ReadingNoise& noise);

// Phi(b) - Phi(a) of the standard normal distribution, without loss in either tail. Precondition: a <= b.
double normal_between(double a, double b);

}  // namespace lastwright
