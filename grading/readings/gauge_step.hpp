// What readings are rounded to, as their own figures show.
#pragma once

#include <cstdint>
#include <map>
#include <optional>

#include "grading/sizes/fraction.hpp"

namespace lastwright {

// The step, mm, by which readings are judged that are noted to this step of a millimetre or of an inch: the
// finest part that such figures show, a millimetre or a sixteenth of an inch at most; 0: finer than any.
double noted_step(Fraction step, bool inches);

// The step of the readings of one gauge in millimetres or in inches: the largest that all of them are
// multiples of, at most 1 mm or 1/16 in. A few that are noted finer than the rest do not make the rest finer:
// where one in twenty at most, or a single one, is no multiple of a step, and so many multiples would come by
// chance in less than one batch of 10,000, or of 100 beside a single one, from a tape read as finely as those
// few, the rest is read to that step, and each of the few as finely as it shows.
class GaugeStep {
 public:
  explicit GaugeStep(bool inches) : inches_(inches) {}
  void add(Fraction noted) {  // in millimetres or in inches
    ++count_of_[parts_of(noted)];
    common_.reset();
  }
  // Of one of the readings that were added, millimetres; 0: finer than a thousandth of the unit. What they
  // have in common is reckoned once.
  [[nodiscard]] double of(Fraction noted);

 private:
  // Into how many parts the unit is divided for a reading by itself; 0: finer than any.
  [[nodiscard]] std::int64_t parts_of(Fraction noted) const;
  [[nodiscard]] std::int64_t common_parts() const;
  [[nodiscard]] double millimetres(std::int64_t parts) const;

  bool inches_;
  std::map<std::int64_t, std::size_t> count_of_;  // by the parts of a reading by itself
  std::optional<std::int64_t> common_;            // as of common_parts(), of what was added so far
};

}  // namespace lastwright
