// The values of a set of measures in every size and width:
// what the grade, the girth table and the readings use.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grading/measures/measure.hpp"

namespace lastwright {

// Measures reckoned from one base, checked once when the table is built.
class MeasureTable {
 public:
  // Refuses two measures of one name and what check_measure refuses.
  static Result<MeasureTable> build(std::vector<Measure> measures, Base base);

  [[nodiscard]] const Base& base() const { return base_; }
  [[nodiscard]] const std::vector<Measure>& measures() const { return measures_; }
  [[nodiscard]] std::size_t size() const { return measures_.size(); }
  // The measure's place in the order of the file.
  [[nodiscard]] std::optional<std::size_t> index(std::string_view name) const;

  // Millimetres. Precondition: index < size().
  [[nodiscard]] Fraction exact(std::size_t index, const SizeWidth& at) const;
  [[nodiscard]] double value(std::size_t index, const SizeWidth& at) const;
  // Value minus base value of every measure, in the order of the file: the vector d of the grade. Each is
  // rounded once, from the exact fraction.
  [[nodiscard]] std::vector<double> increments(const SizeWidth& at) const;

 private:
  std::vector<Measure> measures_;
  Base base_;
};

// A measure that follows the scale itself: base = the scale's length of the
// base size, step = the scale's step. Refuses a scale that sizes the foot:
// a last is longer than its foot by a named allowance, never by silence.
Result<Measure> measure_from_scale(std::string name, const Scale& scale, const Size& base);

}  // namespace lastwright
