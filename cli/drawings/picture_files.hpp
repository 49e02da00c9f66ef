// The pictures that `lastwright grade` writes for people.
//
//   nests/<piece> sizes in <width>.svg      all sizes of a width
//   nests/<piece> widths of <size>.svg      all widths of a size
//   sheets/<piece> <size> <width>.svg       one graded piece with its edges, allowances and marks
#pragma once

#include "cli/files/output_set.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Which outline the nests show: what is cut, or the finished edge.
enum class NestLine { kCut, kNet };
// For which sizes and widths piece sheets are written.
enum class SheetsOf { kNone, kBase, kAll };

struct PictureOptions {
  NestLine nest_line = NestLine::kCut;
  SheetsOf sheets = SheetsOf::kBase;
  unsigned threads = 0;  // 0: one per core; the bytes do not depend on it
};

// Sizes in the base width and widths of the base size (the
// nearest of the selection where the base is not in it).
Status add_nests(const StyleGrade& grade, const GradeSelection& selection, const PictureOptions& options,
                 OutputSet& set);
Status add_sheets(const StyleSpec& style, const StyleGrade& grade, const GradeSelection& selection,
                  const PictureOptions& options, OutputSet& set);

}  // namespace lastwright
