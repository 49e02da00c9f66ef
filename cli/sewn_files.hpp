// The run in the sewn-products convention (geometry/io/sewn_dxf.hpp): one drawing, and the rules beside it.
//
//   sewn/pieces.dxf        a block for every piece, size and width
//   sewn/grade-rules.txt   how every numbered point moves
#pragma once

#include <string>

#include "cli/grade_selection.hpp"
#include "cli/output_set.hpp"
#include "grading/grade/grade.hpp"
#include "grading/sewn/sewn_profile.hpp"

namespace lastwright {

struct SewnFilesWritten {
  std::size_t blocks = 0;
  std::size_t rules = 0;
  std::size_t unruled = 0;  // points without a rule, over all blocks
  RegradeCheck regraded;
};

// Both files are read back, the base is graded by the rules, and every point is compared with its place in
// its size: refused when one lies further off than the last digits of the two files explain.
Result<SewnFilesWritten> add_sewn_files(const StyleGrade& grade, const GradeSelection& selection,
                                        unsigned threads, OutputSet& set);

// A line for the summary.
std::string sewn_text(const SewnFilesWritten& written);

}  // namespace lastwright
