// What may be wrong with a batch: every single cause the model compares, and its price.
//
// Each class of causes has a probability before any reading, shared by its places (sizes, widths, tapes,
// lasts, measures): a cause that could stand anywhere must explain more before it is believed there. The
// price of a place is minus the logarithm of its share.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/readings/precision.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

struct Cause {
  enum class Kind {
    kBatch,
    kStepBySize,
    kStepByWidth,
    kTape,
    kHand,
    kSize,
    kWidth,
    kStampOfPair,
    kStampOfLast,
    kPair,
    kLast
  };
  // What of its readings it changes, and how.
  enum class Change {
    kMeasure,   // one measure, by an unknown amount
    kGirths,    // all girths, by one unknown amount
    kAll,       // all readings, by one unknown amount
    kScale,     // all readings, in proportion
    kOtherCell  // all readings to what the table has for another size and width: nothing unknown
  };
  Kind kind = Kind::kBatch;
  Change change = Change::kAll;
  // Of the size, width, tape, hand (0 left), pair or last in the layout; of a step by size 0 for all sizes,
  // else one more than that of the stretch.
  std::size_t place = 0;
  std::size_t measure = 0;     // of kMeasure
  Fraction sizes_more{0};      // of kOtherCell: as if stamped so many sizes more
  Fraction widths_more{0};     // of the ladder: 1 is the next wider width, however far it is
  SizeWidth cell = {};         // of a stamp: what the readings are those of
  double amount_spread = 0.0;  // standard deviation of the amount before any reading; 0: known
  double log_prior = 0.0;
  SparseColumn column = {};  // millimetres a unit of the amount, or what exactly is added

  [[nodiscard]] bool known() const { return change == Change::kOtherCell; }
  [[nodiscard]] bool of_one_item() const { return kind >= Kind::kStampOfPair; }
  [[nodiscard]] bool stamp() const { return kind == Kind::kStampOfPair || kind == Kind::kStampOfLast; }
};

// Probabilities of the classes and spreads of their amounts, millimetres unless said.
struct CausePriors {
  double batch = 0.10;
  double size = 0.10;
  double width = 0.05;
  double step = 0.10;  // by size, and as much by width
  double tape = 0.10;
  double hand = 0.05;
  double stamp = 0.10;  // of a pair, and as much of a last
  double item = 0.003;  // a last or a pair that is off without being another cell
  double amount = 2.5;
  double batch_percent = 0.8;
  double step_amount = 1.5;  // a step
  double tape_amount = 1.5;
  double tape_percent = 0.6;
  double hand_amount = 1.5;
};

// Makes the causes of one batch. The layout, the table and the run must outlive it.
class CauseMaker {
 public:
  CauseMaker(const BatchLayout& layout, const MeasureTable& table, const SizeRun& run,
             const CausePriors& priors = {});

  // Of the batch, its sizes, widths, steps, tapes and hands. Causes that no reading of this plan can tell
  // apart stand in one group, the likeliest first; the prior of the first is that of the group.
  [[nodiscard]] const std::vector<std::vector<Cause>>& common() const { return common_; }
  // Of the lasts of one pair.
  [[nodiscard]] std::vector<Cause> of_block(std::size_t block) const;

 private:
  // What a reading has more where its last is so many sizes larger and that many widths of the ladder wider
  // (-1, 0 or 1).
  [[nodiscard]] double moved(const PlacedReading& reading, Fraction sizes, Fraction widths) const;
  void add_stamps(std::size_t block, std::optional<std::size_t> last, std::vector<Cause>& causes) const;
  void make_common();

  const BatchLayout& layout_;
  const MeasureTable& table_;
  CausePriors priors_;
  std::vector<SizeWidth> cells_;
  std::vector<std::vector<double>> values_;  // by measure and cell of the run
  std::vector<std::vector<Cause>> common_;
};

// Whether one is the other with its amount left open: not rivals, but two ways to say one thing.
bool nested(const Cause& one, const Cause& other);
// Whether no reading can tell them apart.
bool same_column(const Cause& one, const Cause& other);

}  // namespace lastwright
