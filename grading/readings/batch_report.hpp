// A batch of readings judged as a whole: every reading, every last, every pair, and what one model of the
// batch (search.hpp) says about the tapes, the grade, single sizes and widths, and stamps.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/readings/plan_advice.hpp"
#include "grading/readings/reading_limits.hpp"
#include "grading/readings/readings.hpp"
#include "grading/readings/search.hpp"
#include "grading/readings/statistics.hpp"

namespace lastwright {

struct BatchOptions {
  double confidence = 0.95;  // of all intervals
  SearchOptions search;
};

enum class ReadingVerdict { kWithin, kBelow, kAbove, kNoLimit };
const char* name_of(ReadingVerdict verdict);
// `noted_to`, millimetres: what was read may lie anywhere within half of it, either side; only what is beyond
// the limit wherever it lies is beyond.
ReadingVerdict verdict_of(double off, const std::optional<Limit>& limit, double noted_to = 0.0);
bool beyond(ReadingVerdict verdict);

struct JudgedReading {
  Reading reading;
  double wanted = 0.0;     // table value of the stamped size and width, millimetres
  double deviation = 0.0;  // reading minus wanted
  double explained = 0.0;  // of that, by the causes found
  ReadingVerdict verdict = ReadingVerdict::kNoLimit;
  ReadingVerdict left = ReadingVerdict::kNoLimit;  // of what is not explained
  bool stands_out = false;                         // belongs to none of what the batch shows
};

enum class Match {
  kAsStamped,   // the limits say whether it is good
  kMisStamped,  // another size and width explains its readings
  kDoubtful     // several others do, about as well
};

struct JudgedItem {
  std::string id;
  Foot foot = Foot::kLeft;
  SizeWidth stamped;
  std::size_t readings = 0;
  std::size_t beyond = 0;  // readings beyond their limit
  double worst = 0.0;      // deviation of the largest size among them, millimetres
  Match match = Match::kAsStamped;
  std::vector<SizeWidth> fits;  // what explains its readings, the best first
  double certainty = 0.0;       // of the best, 0 to 1
};

struct JudgedPair {
  std::string id;
  std::size_t measure = 0;
  double left_minus_right = 0.0;  // millimetres, means where there are several readings
  ReadingVerdict verdict = ReadingVerdict::kNoLimit;
  ReadingVerdict left = ReadingVerdict::kNoLimit;  // of what is not explained
  bool one_stamp = true;                           // left and right carry the same stamp
  double noted_to = 0.0;                           // left_minus_right, millimetres
};

// Bias and spread of deviations from the table, one last counting once.
struct Group {
  std::optional<std::size_t> measure;  // empty: all measures together
  std::string size;                    // empty: all
  std::string width;
  std::string gauge;
  std::string hand;
  Summary summary;
};

// A fitted number with its interval.
struct Estimate {
  bool known = false;  // false: the batch does not vary enough to tell
  double value = 0.0;
  double low = 0.0;
  double high = 0.0;
};

// How the batch was really graded in one measure, beyond the table: lasts that are other cells, tapes, hands
// and single sizes and widths that were found to be off are set right.
struct GradedSteps {
  std::size_t measure = 0;
  std::size_t lasts = 0;
  Estimate by_size;   // millimetres a size
  Estimate by_width;  // millimetres a width
};

struct BatchFinding {
  // In the order in which the shop must act.
  enum class Kind {
    kGauge,
    kWholeBatch,
    kStepBySize,
    kStepByWidth,
    kHand,
    kSize,
    kWidth,
    kStamp,
    kLast,
    kReading,
    kPair,
    kLeft
  };
  Kind kind = Kind::kLeft;
  std::string text;  // in words, with figures
  std::string act;   // what to do about it
};

struct BatchReport {
  std::vector<JudgedReading> readings;  // in the order of the file
  std::vector<JudgedItem> items;        // by id, left before right
  std::vector<JudgedPair> pairs;
  std::vector<GradedSteps> steps;  // of the measures that were read
  std::vector<Group> groups;
  std::vector<BatchFinding> findings;
  std::vector<PlanAnswer> not_shown;  // faults that these readings could not have shown
  BatchLayout layout;
  BatchExplanation explained;
  std::size_t cells_read = 0;  // sizes and widths of the run that have at least one reading

  [[nodiscard]] bool all_good() const;  // no reading and no pair beyond its limit, no finding
};

// Precondition: limits are by the table's measures, readings
// passed check_readings with the same table and run.
BatchReport judge_batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
                        const ReadingLimits& limits, const BatchOptions& options = {});

}  // namespace lastwright
