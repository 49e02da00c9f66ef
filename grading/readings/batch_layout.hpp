// A batch of readings in numbers: what each reading is of, what the table wants there, and what even sound
// work may add.
#pragma once

#include <Eigen/Dense>
#include <optional>
#include <string>
#include <vector>

#include "grading/measures/measure_table.hpp"
#include "grading/readings/reading_likelihood.hpp"
#include "grading/readings/readings.hpp"

namespace lastwright {

// One reading, by the places of what it is of. Places are those of the lists in BatchLayout.
struct PlacedReading {
  std::size_t original = 0;  // place in the readings given
  std::size_t block = 0;     // the pair; a last without its other hand is a block too
  std::size_t last = 0;
  std::size_t measure = 0;  // of the measure table
  std::size_t size = 0;
  std::size_t width = 0;
  std::size_t tape = 0;
  Foot foot = Foot::kLeft;
  bool girth = false;
  double wanted = 0.0;  // table value of the stamped size and width, millimetres
  ReadingInterval interval;
  double size_steps = 0.0;  // from the table's base
  double width_steps = 0.0;
  bool again = false;  // its measure of its last was read more than once
};

// Deviations that sound work may show, standard deviations in millimetres. A sound batch is a small region,
// not a point: no finding is made of what lies within.
struct Tolerated {
  double all = 0.12;
  double measure = 0.15;
  double tape = 0.12;
  double hand = 0.08;   // a measure, plus for left and minus for right
  double size = 0.10;   // a measure
  double width = 0.10;  // a measure
  double step = 0.02;   // a measure, a size step and a width step
};

// The readings of one pair stand together; columns of what is tolerated that touch them.
struct Block {
  Eigen::Index first = 0;
  Eigen::Index count = 0;
  std::vector<Eigen::Index> columns;
  Eigen::MatrixXd tolerated;  // count x columns, each times its standard deviation
};

// Sizes between two at which some measure's increment by size changes; without an end: on to the run's.
struct GradedStretch {
  std::optional<Size> from;
  std::optional<Size> to;
  // Size steps from the base to a size as far as they lie within.
  [[nodiscard]] double steps(Fraction base, Fraction position) const;
};

struct BatchLayout {
  std::vector<PlacedReading> readings;  // by block
  std::vector<Block> blocks;
  Eigen::Index columns = 0;  // of what is tolerated
  std::vector<Size> sizes;   // that were read, ascending
  std::vector<Width> widths;
  std::vector<std::string> tapes;
  std::vector<std::size_t> measures;  // that were read
  std::vector<std::pair<std::string, Foot>> lasts;
  std::vector<std::size_t> block_of_last;
  std::vector<Fraction> ladder;  // as of SearchOptions
  // Of the sizes read, where they lie in several; empty: in one.
  std::vector<GradedStretch> stretches;
  // What the plan can show at all.
  bool both_hands = false;      // some pair has one measure of both hands
  bool several_girths = false;  // some last has two girths
  bool repeats = false;         // some measure of some last was read twice

  [[nodiscard]] Eigen::Index count() const { return static_cast<Eigen::Index>(readings.size()); }
};

// A measure that goes around the last: what fullness and one tape pulled tighter change together.
bool is_girth(const Measure& measure);

// `least_step`: readings count as rounded to this at least, millimetres. Precondition: as of judge_batch.
BatchLayout lay_out(const std::vector<Reading>& readings, const MeasureTable& table,
                    const Tolerated& tolerated = {}, double least_step = 0.01);

}  // namespace lastwright
