// The run in the sewn-products convention (geometry/io/sewn/sewn_dxf.hpp): one drawing, and the rules beside it.
//
//   sewn/pieces.dxf        a block for every piece, size and width
//   sewn/grade-rules.txt   how every numbered point moves
#pragma once

#include <string>

#include "cli/files/output_set.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/sewn/sewn_fit.hpp"
#include "grading/sewn/sewn_profile.hpp"

namespace lastwright {

struct SewnFilesOptions {
  Millimetres tolerance{0.1};  // of the lines through numbered points
  std::string date;            // written as given; none where empty
  unsigned threads = 0;        // 0: one per core
};

struct SewnFilesWritten {
  std::size_t blocks = 0;
  std::size_t rules = 0;
  std::size_t unruled = 0;  // points without a rule, over all blocks
  RegradeCheck regraded;
  Millimetres tolerance{0.0};
  SewnFit fit;  // of what the files describe, over all lines, sizes and widths
};

// Both files are read back, the base is graded by the rules, and every point is compared with its place in
// its size: refused when one lies further off than the last digits of the two files explain. Then all that
// the drawing describes is measured against the pieces, made once more: refused where something is missing
// or lies further off than the tolerance.
Result<SewnFilesWritten> add_sewn_files(const StyleSpec& style, const StyleGrade& grade,
                                        const GradeSelection& selection, const SewnFilesOptions& options,
                                        OutputSet& set);

// Lines for the summary.
std::string sewn_text(const SewnFilesWritten& written);

}  // namespace lastwright
