// How often readings name a fault: its expected evidence.
//
// With V the covariance of the readings under a noise, S what readings with the fault would show about the
// table and x the fault's column, the expected logarithm of the evidence is -(log |V| + tr(V^-1 S)) / 2; its
// gain is the difference between the best noise with the fault and the best noise without it, because a sound
// model may take a fault for noise. The power is the chance that the gain, normal about that, pays the price,
// or the same with the noise taken for known, whichever is less.
#pragma once

#include <optional>

#include "grading/readings/search.hpp"

namespace lastwright {

// The chance that a fault of this amount (1 where nothing is unknown) is named among readings of this noise,
// 0 to 1. What they read does not count.
double power_of(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                const SearchOptions& options = {});

// Of a hundred batches with a fault, so many name it where the plan is good for it.
inline constexpr double kAskedPower = 0.95;

// The least amount that is named in kAskedPower of such batches, millimetres, rounded up to tenths; empty:
// not up to a centimetre, or nothing is unknown of the cause. The least amount of which power_of says so. On
// the safe side: what sound work may do counts as scatter, and the noise must not hide it either when it is
// taken for known.
std::optional<double> least_shown(const BatchLayout& layout, const Cause& cause, const BatchNoise& noise,
                                  const SearchOptions& options = {});

// Whether it is named in kAskedPower: sooner said than how often.
bool surely_shown(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                  const SearchOptions& options = {});

// Whether no plan would name it in kAskedPower, for sound work may do nearly as much: said of readings
// without noise.
bool within_sound_work(const BatchLayout& layout, const Cause& cause, double amount,
                       const SearchOptions& options = {});

}  // namespace lastwright
