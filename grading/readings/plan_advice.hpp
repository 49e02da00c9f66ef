// What a plan of readings would show before anyone reads, what a batch that was read could not have shown,
// and what to read to tell.
#pragma once

#include "grading/readings/plan_power.hpp"
#include "grading/readings/readings.hpp"

namespace lastwright {

struct ReadingPlanOptions {
  std::vector<Size> sizes;
  std::vector<Width> widths;
  std::vector<std::size_t> measures;  // of the table
  int pairs = 2;                      // of each size and width
  int tapes = 1;                      // taking turns
  double spread = 0.4;                // of one reading about its last, millimetres
  double step = 0.5;                  // that readings are noted to, millimetres
  bool inches = false;                // they are noted in inches
  // As a batch has shown it; empty: the usual one with `spread`.
  std::optional<BatchNoise> noise = {};
};

// The readings of a plan, each as the table has it.
std::vector<Reading> planned_readings(const ReadingPlanOptions& plan, const MeasureTable& table);

BatchNoise noise_of(const ReadingPlanOptions& plan, const BatchLayout& layout, const NoisePrior& prior = {});

// One fault that a plan is asked about.
struct PlanAnswer {
  Cause::Kind kind = Cause::Kind::kBatch;
  std::string fault;   // in words, with its amount
  double power = 0.0;  // of this plan
  // How far off it must be to be named in kAskedPower, millimetres (of a step: a size or a width).
  std::optional<double> least_amount;
  bool any_amount = true;  // false: the next size or width, neither more nor less
  // Lasts of the same sizes and widths that would show it in kAskedPower; empty: not with `most_lasts`.
  std::optional<std::size_t> lasts;
  // What these readings cannot tell it from, in words; empty: nothing.
  std::string alike;
  // No plan tells it, for sound work may do nearly as much.
  bool within_sound = false;
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

// What these readings could not have shown in kAskedPower of such batches, with the noise that they have: how
// far off a measure of the batch, a size, a width, a gauge, a hand or a step must be, and stamps that would
// not be named. The power is that of faults of three times the scatter of one reading, the lasts are those
// that would show these: of the sizes and widths that were read, left and right.
std::vector<PlanAnswer> not_shown(const BatchLayout& layout, const BatchNoise& noise,
                                  const MeasureTable& table, const SizeRun& run,
                                  const SearchOptions& options = {});

}  // namespace lastwright
