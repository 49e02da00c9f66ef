// A batch of readings judged as a whole: every reading, every last, every pair, and what the batch says about
// the gauge, the grade and single sizes and widths.
//
// Order of the reckoning: (1) a robust fit of each measure; (2) gauges that read apart from the others are
// taken out; (3) every last is matched to the size and width that explain it best, by the table plus what the
// whole batch has in common; (4) the fit again without the lasts that do not match their stamp; (5) biases
// and findings.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "grading/readings/batch_fit.hpp"
#include "grading/readings/item_match.hpp"
#include "grading/readings/reading_limits.hpp"
#include "grading/readings/readings.hpp"
#include "grading/readings/statistics.hpp"

namespace lastwright {

struct BatchOptions {
  double confidence = 0.95;  // of all intervals
  // Findings about the batch come up by chance less often than this, all questions of one kind together.
  double false_alarm = 0.01;
  // Spread of one reading about its true size before a batch of 4 lasts or more tells better, millimetres: a
  // shoe tape has 1 mm divisions.
  double tape_spread = 0.5;
  // A bias within this part of the limit is not worth a word, however certain.
  double worth_a_word = 0.5;
  MatchOptions match;
};

enum class Verdict { kWithin, kBelow, kAbove, kNoLimit };
const char* name_of(Verdict verdict);
Verdict verdict_of(double off, const std::optional<Limit>& limit);

struct JudgedReading {
  Reading reading;
  double wanted = 0.0;     // table value of the stamped size and width, millimetres
  double deviation = 0.0;  // reading minus wanted
  Verdict verdict = Verdict::kNoLimit;
};

struct JudgedItem {
  std::string id;
  Foot foot = Foot::kLeft;
  SizeWidth stamped;
  std::size_t readings = 0;
  std::size_t beyond = 0;  // readings beyond their limit
  double worst = 0.0;      // deviation of the largest size among them, millimetres
  ItemMatch match;
  SizeWidth best;
};

struct JudgedPair {
  std::string id;
  std::size_t measure = 0;
  double left_minus_right = 0.0;  // millimetres, means where there are several gauges
  Verdict verdict = Verdict::kNoLimit;
  bool one_stamp = true;  // left and right carry the same stamp
};

// Bias and spread of deviations from the table, one last counting once.
struct Group {
  std::optional<std::size_t> measure;  // empty: all measures together
  std::string size;                    // empty: all
  std::string width;
  std::string gauge;
  std::string hand;
  Summary summary;
  Estimate beyond;  // of one size or width: beyond what all the others lead to
};

struct Finding {
  enum class Kind {
    kGauge,
    kOffset,
    kStepBySize,
    kStepByWidth,
    kSize,
    kWidth,
    kMisStamped,
    kSwapped,
    kReading,
    kPair,
    kFitsNone
  };
  Kind kind;
  std::string text;  // in words, with figures
};

struct BatchReport {
  std::vector<JudgedReading> readings;  // in the order of the file
  std::vector<JudgedItem> items;        // by id, left before right
  std::vector<JudgedPair> pairs;
  std::vector<BatchFit> fits;  // by measure of the table; used == 0 where none was read
  std::vector<Group> groups;
  std::vector<Finding> findings;
  std::map<std::string, double> gauges_apart;  // taken out of the readings of these gauges, millimetres
  std::size_t cells_read = 0;                  // sizes and widths of the run that have at least one reading

  [[nodiscard]] bool all_good() const;  // no reading and no pair beyond its limit, no finding
};

// Precondition: limits are by the table's measures, readings passed check_readings with the same table and
// run.
BatchReport judge_batch(const std::vector<Reading>& readings, const MeasureTable& table, const SizeRun& run,
                        const ReadingLimits& limits, const BatchOptions& options = {});

}  // namespace lastwright
