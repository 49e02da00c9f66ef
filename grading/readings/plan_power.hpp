// What a plan of readings would show, before anyone reads: the expected evidence of a fault.
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
};

// The readings of a plan, each as the table has it.
std::vector<Reading> planned_readings(const ReadingPlanOptions& plan, const MeasureTable& table);

// The chance that a fault of this amount (1 where nothing is unknown) is named, 0 to 1.
double power_of(const BatchLayout& layout, const Cause& cause, double amount, const ReadingPlanOptions& plan,
                const SearchOptions& options = {});

// One fault that a plan is asked about.
struct PlanAnswer {
  std::string fault;   // in words, with its amount
  double power = 0.0;  // of this plan
  // Lasts of the same sizes and widths that would show it in 95 of 100 batches; empty: not with `most_lasts`.
  std::optional<std::size_t> lasts;
};

struct PlanAdvice {
  std::size_t lasts = 0;
  std::size_t most_lasts = 240;
  std::vector<PlanAnswer> answers;
};
PlanAdvice advise(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
                  const SearchOptions& options = {});

}  // namespace lastwright
