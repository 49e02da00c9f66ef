// A set of graded pieces that a run adds to: what is there stays byte for byte.
#pragma once

#include <mutex>
#include <string>
#include <string_view>

#include "cli/files/earlier_set.hpp"
#include "cli/files/output_set.hpp"
#include "grading/jobs/grade_selection.hpp"

namespace lastwright {

class GradeAdditions {
 public:
  explicit GradeAdditions(EarlierSet earlier) : earlier_(std::move(earlier)) {}

  // The selection with the sizes and widths that are there, so that nests
  // and tables show all. Refuses a set that holds other pieces than those
  // selected, and one whose pieces are there in different sizes and widths.
  Result<GradeSelection> widened(const StyleGrade& grade, GradeSelection selection) const;

  [[nodiscard]] bool holds(const std::string& name) const { return earlier_.has(name); }
  // Puts the drawing that is there into the new set, and its picture. Refuses
  // where `now`, what the style gives today, lies farther from it than a drawing
  // may lie from the exact map. `name`: without ending. From any thread.
  Status keep(const std::string& name, std::string_view now, OutputSet& set);
  // Everything else of the earlier set that was not made anew, but for its nests and what failed then.
  Status keep_rest(OutputSet& set) const;

  [[nodiscard]] std::string text() const;  // a line for the summary

 private:
  EarlierSet earlier_;
  std::mutex lock_;
  std::size_t kept_ = 0;
  std::size_t otherwise_ = 0;  // of them, drawn with other bytes now
  double most_ = 0.0;          // mm that they lie apart
};

}  // namespace lastwright
