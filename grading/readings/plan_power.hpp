// What a plan of readings would show before anyone reads, and what a batch that was read could not have
// shown: the expected evidence of a fault.
//
// With V the covariance of the readings under a noise, S what readings with the fault would show about the
// table and x the fault's column, the expected logarithm of the evidence is -(log |V| + tr(V^-1 S)) / 2; its
// gain is the difference between the best noise with the fault and the best noise without it, because a sound
// model may take a fault for noise. The power is the chance that the gain, normal about that, pays the price.
#pragma once

#include "grading/readings/search.hpp"

namespace lastwright {

struct ReadingPlanOptions {
  std::vector<Size> sizes;
  std::vector<Width> widths;
  std::vector<std::size_t> measures;  // of the table
  int pairs = 2;                      // of each size and width
  int tapes = 1;                      // taking turns
  double spread = 0.4;                // of one reading about its last, millimetres
  double step = 0.5;                  // that readings are noted to, millimetres
  // As a batch has shown it; empty: the usual one with `spread`.
  std::optional<BatchNoise> noise = {};
};

// The readings of a plan, each as the table has it.
std::vector<Reading> planned_readings(const ReadingPlanOptions& plan, const MeasureTable& table);

BatchNoise noise_of(const ReadingPlanOptions& plan, const BatchLayout& layout, const NoisePrior& prior = {});

// The chance that a fault of this amount (1 where nothing is unknown) is named among readings of this noise,
// 0 to 1. What they read does not count.
double power_of(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                const SearchOptions& options = {});

// Of a hundred batches with a fault, so many name it where the plan is good for it.
inline constexpr double kAskedPower = 0.95;

// One fault that a plan is asked about.
struct PlanAnswer {
  Cause::Kind kind = Cause::Kind::kBatch;
  std::string fault;   // in words, with its amount
  double power = 0.0;  // of this plan
  // Lasts of the same sizes and widths that would show it in kAskedPower; empty: not with `most_lasts`.
  std::optional<std::size_t> lasts;
  // What these readings cannot tell it from, in words; empty: nothing.
  std::string alike;
  // What has to be read besides, whatever the number of lasts: "another width"; empty: nothing.
  std::string besides;
};

struct PlanAdvice {
  std::size_t lasts = 0;
  std::size_t most_lasts = 240;
  std::vector<PlanAnswer> answers;
};
PlanAdvice advise(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
                  const SearchOptions& options = {});

// What these readings could not have shown in kAskedPower of such batches, with the noise that they have:
// faults of three times the scatter of one reading, steps and stamps that are off. The lasts that would do
// are of the sizes and widths that were read, left and right.
std::vector<PlanAnswer> not_shown(const BatchLayout& layout, const BatchNoise& noise,
                                  const MeasureTable& table, const SizeRun& run,
                                  const SearchOptions& options = {});

}  // namespace lastwright
