// Tape readings of lasts or finished boots: rows as they were written down, and the readings they stand for.
#pragma once

#include <string>
#include <vector>

#include "grading/measures/measure_table.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

// One row, nothing understood yet.
struct ReadingRow {
  long line = 0;
  std::string id;
  std::string size;
  std::string width;
  std::string hand;
  std::string measure;
  std::string value;
  std::string unit;
  std::string gauge;                     // may be empty
  std::vector<std::string> others = {};  // of columns that are only kept
};

enum class Foot { kLeft, kRight };
const char* name_of(Foot foot);

struct Reading {
  long line = 0;
  std::string id;  // of the last, or of the pair where left and right share it
  Foot foot = Foot::kLeft;
  SizeWidth stamped;
  std::size_t measure = 0;  // place in the measure table
  double value = 0.0;       // millimetres
  std::string gauge;
  std::vector<std::string> others = {};  // of its row
  bool inches = false;                   // it was noted in inches
  // What it is rounded to, millimetres, as the readings of its gauge and unit show (gauge_step.hpp), at most
  // 1 mm or 1/16 in. 0: not known, or too fine to matter.
  double step = 0.0;
};

struct ReadingsCheck {
  // A value is impossible when it lies outside the run's smallest and largest by more than this part of them:
  // a slip of the pen or of the unit, not a last.
  double impossible_part = 0.25;
  // Readings of one last, and of all lasts with one id: more are no repeats but a mistake in the ids.
  std::size_t most_of_last = 200;
  // Gauges: more of them are no gauges but something else in that column.
  std::size_t most_gauges = 50;
};

struct CheckedReadings {
  std::vector<Reading> readings;
  std::vector<Problem> bad_rows;  // each with its line; the others are judged all the same
};

// Units are mm, cm and in (inch, inches, "), in their column or behind the value; names of measures, widths,
// hands and units may be written small or capital. The same thing read again, with the same gauge or another,
// is a repeat: its spread is information.
//
// Bad: an unknown size, width, hand, measure or unit, a missing unit, two
// units, a comma in a value, no number, an impossible value (what slip it
// may be is said), two stamps on one last, too many readings of one.
CheckedReadings check_readings(const std::vector<ReadingRow>& rows, const MeasureTable& table,
                               const SizeRun& run, const ReadingsCheck& options = {});

}  // namespace lastwright
